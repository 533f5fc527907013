// The edges of a mask as chains of points, before they are smoothed.
#pragma once

#include <cstdint>
#include <vector>

#include "raster/bit_mask.h"
#include "shape.h"

namespace powderplan {

// How far a point of a chain may be moved.
enum class Freedom : std::uint8_t {
  all,     // it lies between two points of the mask
  none,    // a corner of the piece
  across,  // on the upper or lower edge of the piece: along x only
  down,    // on its left or right edge: along y only
};

struct TracedPoint {
  double x = 0, y = 0;  // in grid points; the mask's first point is the square from 0 to 1
  Freedom freedom = Freedom::all;
  // How far smoothing may move it along x and along y: half a point, and less where the opening or the web is
  // so narrow that two edges could meet.
  double reach = 0.5;
};

// The outer edge of each opening (4-connected points that are set), closed, with the opening on the right (y
// down), in the order of their first points; those on an island inside another opening are left out, as they
// fall with it. Inside the piece the chain goes through the middles of the sides between points that are set
// and those that are not; along the piece's edge it has only the points where it comes to it and leaves it,
// and the piece's corners.
std::vector<std::vector<TracedPoint>> traced_outlines(const BitMask& mask);

}  // namespace powderplan
