// Opening of a mask by a disc, for 64 points at once, and the same done plainly.
#pragma once

#include <opencv2/core/mat.hpp>

#include "raster/bit_mask.h"

namespace powderplan {

// The disc of a diameter in points: those whose middle lies in a circle of it; for an even diameter its
// centre is a grid corner. CV_8U, 0 or 1.
cv::Mat points_of_disc(int diameter);

// The union of all such discs that lie within the mask (Serra 1982). Beyond the edge of the piece everything
// counts as open; a disc's centre lies on the piece or on its edge.
BitMask opened_by_disc(const BitMask& mask, int diameter);

// The same by OpenCV's erosion and dilation, a point at a time: CV_8U, 0 or 1.
cv::Mat opened_by_disc_plainly(const cv::Mat& mask, int diameter);

}  // namespace powderplan
