// A choice tuned to a finished label map.
#pragma once

#include "recipe/painter.h"
#include "separation/choice_search.h"
#include "separation/colour_index.h"
#include "separation/separation.h"

namespace powderplan {

// A choice, all its labels (all_labels of it) and where they lie.
struct LabelledChoice {
  Choice choice;
  std::vector<Tones> labels;
  Image<std::uint16_t> label_at;
};

// What each mask covers is held; what fills it is changed for the better: its load, its powder, its place in
// the stack. `colour_at` gives the colour wanted at each point of the map, out of `index`. True when anything
// changed.
bool tune_to_map(LabelledChoice& labelled, const Painter& painter, const ColourIndex& index,
                 const Image<std::uint16_t>& colour_at, const ChoiceLimits& limits);

}  // namespace powderplan
