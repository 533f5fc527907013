#include "layers/make_stencil.h"

#include "layers/contour.h"

namespace powderplan {

Stencil make_stencil(const BridgedMask& mask, const Grid& grid, const StencilRules& rules) {
  Stencil stencil;
  stencil.width = grid.pitch * grid.width;
  stencil.height = grid.pitch * grid.height;
  stencil.border = rules.border;
  stencil.openings = contours(mask.open, grid.pitch, rules.tolerance);
  stencil.pins = pin_places(stencil.width, stencil.height, rules);
  stencil.pin = rules.pin;
  stencil.bridges = mask.bridges;
  return stencil;
}

std::vector<PointMm> pin_places(Millimetres width, Millimetres height, const StencilRules& rules) {
  if (rules.border < rules.pin + rules.smallest * 2)
    return {};
  const double middle = rules.border.value() / 2;
  // Off the middle by a fifth of the way between the corners: turned over, the hole is two fifths away.
  const double along = width.value() + 2 * middle, third = 0.3 * along - middle;
  return {{-middle, -middle}, {width.value() + middle, -middle}, {third, height.value() + middle}};
}

}  // namespace powderplan
