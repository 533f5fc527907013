#include "separation/nearest_point.h"

#include <opencv2/imgproc.hpp>
#include <vector>

namespace powderplan {

cv::Mat nearest_outside(const cv::Mat& holes) {
  cv::Mat from(holes.size(), CV_32S);
  const bool nothing_outside = cv::countNonZero(holes) == static_cast<int>(holes.total());
  cv::Mat far, ids;
  std::vector<int> point_of;
  if (!nothing_outside) {
    cv::distanceTransform(holes, far, ids, cv::DIST_L2, cv::DIST_MASK_5, cv::DIST_LABEL_PIXEL);
    point_of.resize(holes.total() + 1);
    for (int y = 0; y < holes.rows; ++y) {
      for (int x = 0; x < holes.cols; ++x) {
        if (holes.at<std::uint8_t>(y, x) == 0)
          point_of[static_cast<std::size_t>(ids.at<int>(y, x))] = y * holes.cols + x;
      }
    }
  }
  for (int y = 0; y < holes.rows; ++y) {
    for (int x = 0; x < holes.cols; ++x) {
      const bool hole = holes.at<std::uint8_t>(y, x) != 0 && !nothing_outside;
      from.at<int>(y, x) = hole ? point_of[static_cast<std::size_t>(ids.at<int>(y, x))] : y * holes.cols + x;
    }
  }
  return from;
}

}  // namespace powderplan
