// A picture as its L*, a* and b* apart, for filters that take one number a point.
#pragma once

#include <array>
#include <opencv2/core/mat.hpp>

#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

// Single precision, of the picture's size.
std::array<cv::Mat, 3> lab_planes(const Image<Xyz>& picture);

}  // namespace powderplan
