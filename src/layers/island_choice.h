// Islands of a stencil's sheet that the picture can do without.
#pragma once

#include <cstdint>

#include "layers/bridges.h"

namespace powderplan {

// An island needs bridges, and these cost the picture something; powder over the island costs something else.
// Marks (1) the islands of the mask for which powder is cheaper than what its bridges cost. `cost_of_opening`
// says for each grid point how much the predicted colour difference (CIEDE2000) rises when it gets the powder
// of this layer too; where that may not be it is `never_open`. Islands larger than `largest_dropped_cm2` are
// always held: they are what the picture is made of.
Image<std::uint8_t> islands_to_drop(const Image<std::uint8_t>& mask, const BridgedMask& bridged,
                                    const Image<float>& cost_of_opening, const Grid& grid,
                                    const StencilRules& rules);

inline constexpr float never_open = 1e6F;
inline constexpr double largest_dropped_cm2 = 1.0;

}  // namespace powderplan
