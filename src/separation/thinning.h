// Thinning: a mask worn down to lines one point wide that hang together as the mask does.
#pragma once

#include <cstdint>

#include "raster/image.h"

namespace powderplan {

// The skeleton of what is not 0, by the two alternating passes of Guo and Hall (1989, algorithm A1): 1 on the
// lines, 0 elsewhere. Points beyond the edge count as 0. A part of the mask never vanishes or falls apart.
Image<std::uint8_t> thinned(const Image<std::uint8_t>& mask);

}  // namespace powderplan
