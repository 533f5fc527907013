// For each point of a mask, which point beside the mask is nearest: to fill holes from round about.
#pragma once

#include <opencv2/core/mat.hpp>

namespace powderplan {

// CV_32S, y * width + x of the nearest point that is 0 in `holes` (CV_8U); of a point that is 0 itself, that
// point. Where there is no such point at all, each point is its own. Distances are exact to some per cent
// (Borgefors 1986).
cv::Mat nearest_outside(const cv::Mat& holes);

}  // namespace powderplan
