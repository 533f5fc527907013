// Which light strokes are scratched out of loose powder instead of being laid on top.
#pragma once

#include <cstdint>
#include <vector>

#include "firing/firing.h"
#include "layers/layer.h"
#include "layers/line_paths.h"
#include "recipe/painter.h"
#include "separation/choice_search.h"
#include "separation/strokes.h"

namespace powderplan {

// A stroke is scratched when at least this share of its length runs in an even field ...
inline constexpr double least_scratched_share = 0.9;
// ... and when that is no worse by more than this (CIEDE2000) than a powder laid on top: it saves a layer.
inline constexpr double worth_of_line_layer_de00 = 3.0;

struct ScratchRules {
  LineRules lines;
  Millimetres smallest{2.0};  // the field must reach so far to either side
  ChoiceLimits powders;       // what could be laid on top instead
};

// Scratches light strokes out of the topmost layer that lies there, and out of all that lies loose below it
// in its firing. Returns 1 where strokes are that need no powder any more.
Image<std::uint8_t> scratch_strokes(const Painter& painter, const StrokeMap& strokes, const Grid& grid,
                                    const FiringPlan& firings, const ScratchRules& rules,
                                    std::vector<Layer>& layers);

// Whether every scratch goes through all that lies loose below it, and is not sifted over again before it is
// fired: false when the firings have changed since it was planned.
bool scratches_hold(const std::vector<Layer>& layers, const FiringPlan& firings, const Grid& grid,
                    const LineRules& rules);

}  // namespace powderplan
