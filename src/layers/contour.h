// The cut lines of a mask: smooth, with few points, in millimetres.
#pragma once

#include <vector>

#include "raster/bit_mask.h"
#include "shape.h"

namespace powderplan {

// One polygon for every opening (points that are set and hang together by their sides), in the order of their
// first points, row by row. A grid point (x, y) is the middle of its square: its centre lies at
// ((x + 0.5) * pitch, (y + 0.5) * pitch).
//
// The edge of these points is smoothed within half a grid point of itself along x and along y
// (0.2 of one where shapes are so narrow that it could meet another edge), so that slanted lines and curves
// lose the steps of the grid, and then followed with few lines that keep within `tolerance` of the smooth
// edge. Long sides along rows and columns stay where they are. An opening at the piece's edge ends exactly
// on it. So no cut line is farther from the mask's edge than 0.71 grid points and the tolerance, and no web
// is narrower than in the mask by more than twice that.
//
// Every polygon is simple and apart from the others. Islands inside an opening are left out, with what they
// hold: a mask from `bridged` has none.
std::vector<PolygonMm> contours(const BitMask& mask, Millimetres pitch, Millimetres tolerance);

}  // namespace powderplan
