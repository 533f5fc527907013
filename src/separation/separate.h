// The separation as a whole: from a target to what lies where.
#pragma once

#include <functional>
#include <optional>

#include "recipe/painter.h"
#include "separation/choice_search.h"
#include "separation/fade_search.h"
#include "separation/separation.h"
#include "separation/target.h"

namespace powderplan {

struct SeparationRules {
  ChoiceLimits limits;
  Millimetres smallest{2.0};
  FadeRules fades;
  // The choice to begin with; not set: searched for.
  std::optional<Choice> choice{};
  bool quick = false;  // fewer rounds, for a trial
};

// Choice of powders on the colours that widths of `smallest` can show, labels, loads tuned to what the widths
// left, labels again. Every layer of the result obeys the width rule; loads are whole milligrams per cm2.
Separation separate(const Painter& painter, const Target& target, const SeparationRules& rules,
                    const std::function<void(double share)>& progress = {});

// The colours on which separate searches its choice.
std::vector<WeightedColour> choice_colours(const Target& target, Millimetres smallest);

// A target blurred to half the smallest width, since no layer shows what is finer.
Image<PackedLab> as_seen(const Target& target, Millimetres smallest);

// Its colours as a search sees them, weighted by area. At most `count`.
std::vector<WeightedColour> search_colours(const Target& target, Millimetres smallest, std::size_t count);

// The colour of each label.
std::vector<Lab> label_labs(const Painter& painter, const Choice& choice, const std::vector<Tones>& labels);

}  // namespace powderplan
