// A stencil as a drawing for cutting machines: DXF of release 12 (AC1009), which every reader knows.
#pragma once

#include <string>

#include "layers/stencil.h"

namespace powderplan {

// In millimetres, y upwards, the origin at the bottom left corner of the sheet (the piece and its border).
// Closed POLYLINEs on the layer "openings", CIRCLEs on "pins", and the edge of the sheet, a closed POLYLINE,
// on "sheet", in this order. ASCII. Coordinates are rounded to 0.001 mm; points that fall together and
// openings without area are left out. Release 12 has no header variable for units; $INSUNITS (4 =
// millimetres, release 15 on) is written nevertheless, because readers that do not know it pass over it and
// those that do need not ask.
std::string stencil_dxf(const Stencil& stencil);

}  // namespace powderplan
