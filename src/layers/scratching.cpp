#include "layers/scratching.h"

#include <opencv2/imgproc.hpp>

#include "separation/thinning.h"

namespace powderplan {

double scratched_share(const Image<std::uint16_t>& amount, const Image<std::uint8_t>& strokes,
                       const Grid& grid, Millimetres smallest) {
  if (strokes.empty())
    return 0;
  const int width = strokes.width(), height = strokes.height();
  cv::Mat inside(height, width, CV_8U), stroke(height, width, CV_8U), to_edge, depth;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const bool on = strokes.at(x, y) != 0;
      stroke.at<std::uint8_t>(y, x) = on ? 1 : 0;
      inside.at<std::uint8_t>(y, x) = on || amount.at(x, y) >= even_amount * 65535 ? 1 : 0;
    }
  }
  if (cv::countNonZero(inside) == width * height)
    to_edge = cv::Mat(height, width, CV_32F, cv::Scalar(1e9));
  else
    cv::distanceTransform(inside, to_edge, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  if (cv::countNonZero(stroke) == width * height)
    return 0;  // all is stroke: there is no field
  cv::distanceTransform(stroke, depth, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  const Image<std::uint8_t> middle = thinned(strokes);
  const double beside = smallest / grid.pitch;
  std::size_t length = 0, scratched = 0;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      if (middle.at(x, y) == 0)
        continue;
      ++length;
      if (to_edge.at<float>(y, x) >= depth.at<float>(y, x) + beside)
        ++scratched;
    }
  }
  return length > 0 ? static_cast<double>(scratched) / static_cast<double>(length) : 0;
}

}  // namespace powderplan
