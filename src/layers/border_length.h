// How long the common border of two regions of a map is.
#pragma once

#include <cstdint>

#include "raster/image.h"
#include "units.h"

namespace powderplan {

// Where a point of one mask and a point of the other share a side, and how long these sides are as a border,
// whichever way it runs. Sides count by how squarely they face the way from one region to the other, found
// from both regions smoothed: a straight border then has its own length at every angle (surface elements
// weighted by estimated normals: Coeurjolly, Flin, Teytaud, Tougne 2003, from memory).
// Within 3 % for borders that bend no more sharply than a circle of 12 points' radius.
struct CommonBorder {
  Millimetres length;
  Image<std::uint8_t> points;  // 1 at points of either mask beside the other
};

// Masks are 0 and 1, of the same size, and never both 1.
CommonBorder common_border(const Image<std::uint8_t>& one, const Image<std::uint8_t>& other,
                           Millimetres pitch);

inline constexpr double border_length_error = 0.03;

}  // namespace powderplan
