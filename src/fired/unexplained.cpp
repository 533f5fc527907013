#include "fired/unexplained.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "fired/lab_planes.h"

namespace powderplan {
namespace {

// Lab. Less than this is a photo's own; nothing counts for more than the other.
constexpr float noise = 1.0F, most = 20.0F;
constexpr int median_points = 5;
constexpr double blur_mm = 3;

}  // namespace

Image<LabPixel> unexplained(const Image<Xyz>& explained, const SeenPiece& piece) {
  std::array<cv::Mat, 3> off = lab_planes(piece.colour);
  const std::array<cv::Mat, 3> was = lab_planes(explained);
  const cv::Mat untrusted(explained.height(), explained.width(), CV_8U,
                          const_cast<std::uint8_t*>(piece.untrusted.data()));
  for (std::size_t c = 0; c < off.size(); ++c) {
    off[c] -= was[c];
    off[c].setTo(0, untrusted != 0);
  }
  for (cv::Mat& channel : off) {
    cv::Mat middle;
    cv::medianBlur(channel, middle, median_points);
    const double sigma = blur_mm / piece.grid.pitch.value();
    cv::GaussianBlur(middle, channel, {}, sigma, sigma, cv::BORDER_REPLICATE);
  }
  Image<LabPixel> left(explained.width(), explained.height());
  for (std::size_t i = 0; i < left.size(); ++i) {
    const LabPixel all{off[0].ptr<float>()[i], off[1].ptr<float>()[i], off[2].ptr<float>()[i]};
    const float size = std::sqrt(all.l * all.l + all.a * all.a + all.b * all.b);
    if (size <= noise)
      continue;
    const float share = std::min(size - noise, most) / size;
    left[i] = {all.l * share, all.a * share, all.b * share};
  }
  return left;
}

}  // namespace powderplan
