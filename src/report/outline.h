// How far a knife goes around the openings of a layer.
#pragma once

#include <cstdint>

#include "raster/image.h"

namespace powderplan {

// Length in mm of the border between 0 and the rest, edges of the picture included: straight between the
// middles of the grid points' sides (marching squares), so a slanted border is at most 8 % too long.
double outline_mm(const Image<std::uint8_t>& mask, Millimetres pitch);

}  // namespace powderplan
