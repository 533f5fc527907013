#include "separation/width_rule.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

namespace powderplan {

WidthRule::WidthRule(Millimetres smallest, Millimetres pitch)
    : diameter_(std::max(1, static_cast<int>(std::ceil(smallest / pitch - 1e-6)))) {
  // Points whose middle lies in a circle of the diameter; for an even diameter its centre is a grid corner.
  const double centre = (diameter_ - 1) / 2.0, radius = diameter_ / 2.0;
  kernel_ = cv::Mat::zeros(diameter_, diameter_, CV_8U);
  anchor_ = {diameter_ / 2, diameter_ / 2};
  for (int y = 0; y < diameter_; ++y) {
    for (int x = 0; x < diameter_; ++x) {
      if (std::hypot(x - centre, y - centre) <= radius) {
        kernel_.at<std::uint8_t>(y, x) = 1;
        disc_.emplace_back(x - anchor_.x, y - anchor_.y);
      }
    }
  }
  cv::flip(kernel_, mirrored_, -1);
  mirrored_anchor_ = {diameter_ - 1 - anchor_.x, diameter_ - 1 - anchor_.y};
}

// OpenCV's erode and dilate both look at the points under the kernel; an opening needs the second of the two
// mirrored, which matters for an even diameter. Then too a disc lies between points, and one may lie on any
// edge of the piece: on the right and lower ones its anchor is a point beyond, so the mask gets such a row
// and column, open like all that lies beyond the edge.
cv::Mat WidthRule::opened(const cv::Mat& mask) const {
  if (mask.empty())
    return mask.clone();
  const int beyond = diameter_ % 2 == 0 ? 1 : 0;
  cv::Mat larger, kept;
  cv::copyMakeBorder(mask, larger, 0, beyond, 0, beyond, cv::BORDER_CONSTANT, cv::Scalar(1));
  cv::erode(larger, kept, kernel_, anchor_);
  cv::dilate(kept, larger, mirrored_, mirrored_anchor_);
  return larger(cv::Rect(0, 0, mask.cols, mask.rows)).clone();
}

cv::Mat WidthRule::closed(const cv::Mat& mask) const {
  return 1 - opened(1 - mask);
}

cv::Mat WidthRule::narrow_openings(const cv::Mat& mask) const {
  return mask - opened(mask);
}

cv::Mat WidthRule::narrow_webs(const cv::Mat& mask) const {
  return closed(mask) - mask;
}

bool WidthRule::obeyed_by(const cv::Mat& mask) const {
  return cv::countNonZero(narrow_openings(mask)) == 0 && cv::countNonZero(narrow_webs(mask)) == 0;
}

cv::Mat WidthRule::shrunk_to_rule(cv::Mat mask) const {
  for (;;) {
    mask = opened(mask);
    const cv::Mat webs = narrow_webs(mask);
    if (cv::countNonZero(webs) == 0)
      return mask;
    // Each narrow point grows by a disc that lies on it; that takes something away, or the point were not
    // narrow.
    cv::Mat wider;
    cv::dilate(webs, wider, kernel_, anchor_);
    mask.setTo(0, wider);
  }
}

}  // namespace powderplan
