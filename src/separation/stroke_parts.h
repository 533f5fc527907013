// Connected parts of a mask of strokes: which are strong enough, long enough, and go on in one another.
#pragma once

#include <opencv2/core/mat.hpp>

namespace powderplan {

// All masks are CV_8U; any value but 0 is inside. Results hold 0 and 1. Lengths are in points.

// The parts of `weak` that hold something of `strong` (hysteresis: Canny 1986).
cv::Mat parts_holding(const cv::Mat& weak, const cv::Mat& strong);

// The parts that are at least `shortest` long, and `slender` times as long as wide. The length is that of the
// skeleton; parts with gaps up to `gap` between them count as one.
cv::Mat long_parts(const cv::Mat& mask, double shortest, double slender, double gap);

// The parts of `thick` that touch parts of `thin` which are together at least as long.
cv::Mat parts_between(const cv::Mat& thick, const cv::Mat& thin);

}  // namespace powderplan
