#include "layers/border_length.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "layers/mask_view.h"

namespace powderplan {
namespace {

// Of the smoothing, in points.
constexpr double sigma = 2.5;
// Where the smoothed regions rise less than this from point to point, nothing tells how a side lies.
constexpr float least_slope = 1e-4F;

// 1 in the one, -1 in the other, 0 elsewhere, smoothed.
cv::Mat smoothed(const Image<std::uint8_t>& one, const Image<std::uint8_t>& other) {
  cv::Mat field(one.height(), one.width(), CV_32F);
  for (int y = 0; y < one.height(); ++y) {
    for (int x = 0; x < one.width(); ++x)
      field.at<float>(y, x) = static_cast<float>(one.at(x, y)) - static_cast<float>(other.at(x, y));
  }
  cv::GaussianBlur(field, field, {}, sigma, sigma, cv::BORDER_REPLICATE);
  return field;
}

}  // namespace

CommonBorder common_border(const Image<std::uint8_t>& one, const Image<std::uint8_t>& other,
                           Millimetres pitch) {
  const int width = one.width(), height = one.height();
  CommonBorder border{{}, Image<std::uint8_t>(width, height, 0)};
  cv::Mat field;
  const auto value = [&](int x, int y) {
    return field.at<float>(std::clamp(y, 0, height - 1), std::clamp(x, 0, width - 1));
  };
  double sides = 0;
  const auto side = [&](int x, int y, int dx, int dy) {
    const int to_x = x + dx, to_y = y + dy;
    if (to_x >= width || to_y >= height ||
        !((one.at(x, y) != 0 && other.at(to_x, to_y) != 0) ||
          (other.at(x, y) != 0 && one.at(to_x, to_y) != 0)))
      return;
    if (field.empty())
      field = smoothed(one, other);
    border.points.at(x, y) = border.points.at(to_x, to_y) = 1;
    // Slopes in the middle of the side: across it, and along it.
    const float across = value(to_x, to_y) - value(x, y);
    const float along = (value(x + dy, y + dx) - value(x - dy, y - dx) + value(to_x + dy, to_y + dx) -
                         value(to_x - dy, to_y - dx)) /
                        4;
    const float slope = std::hypot(across, along);
    sides += slope > least_slope ? static_cast<double>(std::abs(across) / slope) : 1.0;
  };
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      side(x, y, 1, 0);
      side(x, y, 0, 1);
    }
  }
  border.length = pitch * sides;
  return border;
}

}  // namespace powderplan
