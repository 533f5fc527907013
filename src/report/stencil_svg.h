// A stencil as a drawing for cutting machines: SVG (W3C, 1.1) in millimetres at true size.
#pragma once

#include <string>
#include <string_view>

#include "layers/stencil.h"

namespace powderplan {

// One unit of the drawing is 1 mm, its origin the top left corner of the sheet, so the piece begins a
// border's width to the right and down. Nothing but cut lines, in the order in which a machine should cut
// them: a group "openings" of one closed path each, a group "pins" of circles, where there are any a group
// "marks" of short lines, which may be cut, and last, so that the sheet still lies firm while the rest is
// cut, a group "sheet" with its edge. Coordinates are rounded to 0.001 mm; points that fall together and
// openings without area (fewer than three points left) are left out. The title is text of any kind; it only
// stands in <title>.
std::string stencil_svg(const Stencil& stencil, std::string_view title);

// Width of the drawn lines: about the printers' hairline of a quarter point, so that they are seen on a
// screen. Cutters follow the path, whatever its width.
inline constexpr Millimetres hairline{0.1};

}  // namespace powderplan
