// Line layers: what is drawn on top of everything else, and what is scratched out of loose powder.
#pragma once

#include <cstdint>
#include <vector>

#include "layers/layer.h"
#include "separation/line_choice.h"
#include "separation/separation.h"
#include "separation/strokes.h"

namespace powderplan {

// What lies at each point, bottom to top.
struct LyingRecipes {
  Image<std::uint16_t> at;
  std::vector<Recipe> recipes;
};

// Of all layers but those whose place in `left_out` is set (as long as `layers`, or empty: none is). Amounts
// of fades are rounded, so that no more than most_recipes_below recipes are told apart.
LyingRecipes lying(const std::vector<Layer>& layers, const Grid& grid,
                   const std::vector<bool>& left_out = {});

// Lines of the plan drawn for a mask of strokes. `cover` may hold strokes of other masks too: what is not of
// this mask but in `strokes` does not count. Lines that stray from the strokes are left out; where many do,
// the mask is a texture and no drawing, and the plan is empty.
LinePlan lines_of(const Image<std::uint8_t>& mask, const StrokeMap& strokes, const Grid& grid,
                  const LineRules& rules);

// How wide the strokes of a mask are on average, along their middle. 0 when there are none.
Millimetres mean_width(const Image<std::uint8_t>& mask, const Grid& grid);

// What a line of this width can hold: laid by hand, in more than one pass if need be, it is a bead no higher
// than it is wide (estimate of ours: steeper ones slump). In whole milligrams per cm2.
Load most_load_of_line(Millimetres width, Density density);

// Puts a powder on top of the separation as a line layer; labels and their map follow where at least half of
// its load lies. The plan must have paths.
Layer line_layer(Separation& separation, const LineChoice& choice, LinePlan lines, const LineRules& rules);

// Takes the lines out of the amounts of `from` (places in `layers`); the last of them carries the plan.
void scratch(std::vector<Layer>& layers, const std::vector<std::size_t>& from, LinePlan lines,
             const Grid& grid, const LineRules& rules);

}  // namespace powderplan
