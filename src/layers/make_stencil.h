// From a mask that hangs together to a sheet that can be cut.
#pragma once

#include "layers/bridges.h"
#include "layers/stencil.h"

namespace powderplan {

// The openings of the mask as polygons (layers/contour.h), its bridges, and the holes for the registration
// pins. The piece measures grid.width by grid.height points.
Stencil make_stencil(const BridgedMask& mask, const Grid& grid, const StencilRules& rules);

// Where the pins stand: three, in the middle of the border, at two corners and on the side between the other
// two but off its middle, so that a stencil turned round or over does not go onto them. They depend on
// nothing but the piece and its border, so all stencils of a piece have them in the same places. None where
// the border is too narrow for a hole with a web of `smallest` on either side.
std::vector<PointMm> pin_places(Millimetres width, Millimetres height, const StencilRules& rules);

}  // namespace powderplan
