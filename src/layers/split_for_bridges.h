// Two stencils in place of one with bridges: the second opens what the bridges of the first close.
#pragma once

#include "layers/bridges.h"

namespace powderplan {

struct SplitMask {
  BridgedMask first, second;  // each with its bridges; the error left is charged to the first
  // Of all points of the mask that are open in neither.
  double error_cm2 = 0;
};

// `bridges` is what `bridged` made of the mask. Each of the two is a mask as `bridged` promises it. They
// never open at the same point, so no powder is doubled; where a bridge alone is too narrow or too short to
// be an opening, the second takes in some of the opening beside it and the first gives that up. The error is
// at most that of `bridges`; if nothing can be gained, the second is empty.
SplitMask split_for_bridges(const BitMask& mask, const BridgedMask& bridges, const CellCosts& cost_of_closing,
                            const Grid& grid, const StencilRules& rules);

}  // namespace powderplan
