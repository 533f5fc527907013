// Makes a mask obey the width rule where that costs the picture least.
#pragma once

#include "raster/bit_mask.h"
#include "raster/image.h"
#include "separation/width_rule.h"

namespace powderplan {

// `cost_of_opening` says for each point what opening it costs (negative: opening it is better). Every narrow
// opening is either closed or widened to the rule, every narrow web either filled or widened, whichever costs
// less over the points that change. The result obeys the rule.
BitMask repaired(BitMask mask, const Image<float>& cost_of_opening, const WidthRule& rule);

}  // namespace powderplan
