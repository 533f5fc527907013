#include "separation/disc_opening.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "separation/disc_sweep.h"

namespace powderplan {
cv::Mat points_of_disc(int diameter) {
  const double centre = (diameter - 1) / 2.0, radius = diameter / 2.0;
  cv::Mat kernel = cv::Mat::zeros(diameter, diameter, CV_8U);
  for (int y = 0; y < diameter; ++y) {
    for (int x = 0; x < diameter; ++x)
      kernel.at<std::uint8_t>(y, x) = std::hypot(x - centre, y - centre) <= radius ? 1 : 0;
  }
  return kernel;
}

// For an even diameter a disc lies between points, and one may lie on any edge of the piece: on the right and
// lower ones the point asked about is one beyond, so there is a row and a column more of these.
BitMask opened_by_disc(const BitMask& mask, int diameter) {
  if (mask.empty() || diameter < 2)
    return mask;
  const int beyond = diameter % 2 == 0 ? 1 : 0;
  const cv::Size larger(mask.width() + beyond, mask.height() + beyond);
  return where_any_in(where_all_in(mask, rows_of_disc(diameter, false), larger), rows_of_disc(diameter, true),
                      mask.size());
}

cv::Mat opened_by_disc_plainly(const cv::Mat& mask, int diameter) {
  if (mask.empty())
    return mask.clone();
  // Both of OpenCV's operations look at the points under the kernel; an opening needs the second of the two
  // mirrored, which matters for an even diameter.
  const cv::Mat kernel = points_of_disc(diameter);
  cv::Mat mirrored;
  cv::flip(kernel, mirrored, -1);
  const cv::Point anchor{diameter / 2, diameter / 2};
  const cv::Point mirrored_anchor{diameter - 1 - anchor.x, diameter - 1 - anchor.y};
  const int beyond = diameter % 2 == 0 ? 1 : 0;
  cv::Mat larger, kept;
  cv::copyMakeBorder(mask, larger, 0, beyond, 0, beyond, cv::BORDER_CONSTANT, cv::Scalar(1));
  cv::erode(larger, kept, kernel, anchor);
  cv::dilate(kept, larger, mirrored, mirrored_anchor);
  return larger(cv::Rect(0, 0, mask.cols, mask.rows)).clone();
}

}  // namespace powderplan
