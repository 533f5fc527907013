// Bridges: strips of sheet that hold what would fall out of a stencil, where they hurt the picture least.
#pragma once

#include <vector>

#include "layers/cell_costs.h"
#include "layers/stencil.h"
#include "raster/bit_mask.h"
#include "raster/image.h"

namespace powderplan {

enum class BridgePlacement {
  least_error,  // along the way on which closing costs the picture least
  shortest,     // the shortest straight strip: what a person does who sees only this stencil
};

struct BridgedMask {
  BitMask open;  // set = the stencil is open
  std::vector<Bridge> bridges;
  // Of all points of the mask that are not open: the rise of the colour difference (CIEDE2000) times area.
  double error_cm2 = 0;
};

// Makes a mask (set = powder wanted) one that a stencil can have. `cost_of_closing` says for each grid point
// how much the predicted colour difference rises when it gets no powder of this layer.
//
// `open` is a part of the mask, obeys the width rule for `smallest` (separation/width_rule.h), and its sheet
// (all that is not open, and the border round the piece) hangs together in one piece, from side to side, by
// webs no narrower than three quarters of `smallest`, less one grid point. Openings do not touch by a corner.
// If the mask itself obeys the rule, only the bridges and the hollows beside them are closed.
//
// Every island gets a bridge to what is held already, the cheapest first (Takahashi and Matsuyama 1980: a
// tree at most twice as dear as the best one). An island and all that hangs on it turn as one; they get one
// bridge for every `rules.hold` of outline, begun or whole, where the outline is pi/4 of that of their box
// (exact for a circle). The feet of these stand apart by the box's diagonal over their number, and the other
// ends by half of that, within a few grid points and as far as there is room. Both placements follow this
// rule.
//
// Bridges that are `staying` are laid first, as they are; only what these do not hold is looked at.
//
// All sizes must agree. Deterministic.
BridgedMask bridged(const BitMask& mask, const CellCosts& cost_of_closing, const Grid& grid,
                    const StencilRules& rules, BridgePlacement placement = BridgePlacement::least_error,
                    const std::vector<Bridge>& staying = {});

// Charges every point of the mask that is not open to the nearest bridge, in place of what the bridges were
// charged with.
void charge_to_nearest(std::vector<Bridge>& bridges, const BitMask& mask, const BitMask& open,
                       const CellCosts& cost_of_closing, const Grid& grid);

// Of a point from the line, in millimetres.
double distance_to(const LineMm& line, PointMm p);

// What not being open costs, over all points of the mask: both placements are judged by it.
double error_of_closing(const BitMask& mask, const BitMask& open, const CellCosts& cost_of_closing,
                        const Grid& grid);

}  // namespace powderplan
