// Loads tuned to a finished label map.
#pragma once

#include "recipe/painter.h"
#include "separation/choice_search.h"
#include "separation/colour_index.h"
#include "separation/separation.h"

namespace powderplan {

// The same choice with the loads that serve this map best: what lies where is held, the loads are tuned one by
// one. `labels` are those of the map.
Choice tuned_to_map(const Painter& painter, const Choice& choice, const std::vector<Tones>& labels,
                    const Image<std::uint16_t>& label_at, const ColourIndex& index, const ChoiceLimits& limits);

}  // namespace powderplan
