#include "separation/top_hat.h"

#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "parallel.h"

namespace powderplan {
namespace {

// Certain strokes so far away help to tell which of two kinds is the stroke.
constexpr double round_about_mm = 10;
// What is left of a certain stroke when the other kind went first.
constexpr double certain_share = 0.5;
// Certain strokes of the whole picture count so much less than those round about.
constexpr double whole_picture = 0.05;

}  // namespace

GreyDisc::GreyDisc(Millimetres diameter, Millimetres pitch) {
  const int across = std::max(1, static_cast<int>(std::ceil(diameter / pitch - 1e-6)));
  const double centre = (across - 1) / 2.0, radius = across / 2.0;
  kernel_ = cv::Mat::zeros(across, across, CV_8U);
  for (int y = 0; y < across; ++y) {
    for (int x = 0; x < across; ++x)
      kernel_.at<std::uint8_t>(y, x) = std::hypot(x - centre, y - centre) <= radius ? 1 : 0;
  }
  cv::flip(kernel_, mirrored_, -1);
  anchor_ = {across / 2, across / 2};
  mirrored_anchor_ = {across - 1 - anchor_.x, across - 1 - anchor_.y};
}

cv::Mat GreyDisc::closed(const cv::Mat& values) const {
  cv::Mat raised, back;
  cv::dilate(values, raised, kernel_, anchor_);
  cv::erode(raised, back, mirrored_, mirrored_anchor_);
  return back;
}

cv::Mat GreyDisc::opened(const cv::Mat& values) const {
  cv::Mat lowered, back;
  cv::erode(values, lowered, kernel_, anchor_);
  cv::dilate(lowered, back, mirrored_, mirrored_anchor_);
  return back;
}

TopHats strokes_of(const cv::Mat& values, const GreyDisc& disc, double faint, Millimetres pitch) {
  std::array<cv::Mat, 2> once, twice;
  for_each_block(2, [&](std::size_t i) {
    once[i] = i == 0 ? disc.closed(values) : disc.opened(values);
    twice[i] = i == 0 ? disc.opened(once[i]) : disc.closed(once[i]);
  });
  const cv::Mat &closed = once[0], &opened = once[1], &low_first = twice[0], &high_first = twice[1];
  TopHats hats{closed - values, values - opened, {}};
  hats.any = cv::max(hats.low, hats.high);
  // 1 where a stroke of the one kind is certain, -1 where one of the other is.
  cv::Mat certain = cv::Mat::zeros(values.size(), CV_32F);
  cv::Mat sure_low = cv::Mat::zeros(values.size(), CV_8U), sure_high = sure_low.clone();
  const auto limit = static_cast<float>(faint);
  for (int y = 0; y < values.rows; ++y) {
    for (int x = 0; x < values.cols; ++x) {
      float &low = hats.low.at<float>(y, x), &high = hats.high.at<float>(y, x);
      if (low < limit)
        low = 0;
      if (high < limit)
        high = 0;
      const float low_left = high_first.at<float>(y, x) - opened.at<float>(y, x);
      const float high_left = closed.at<float>(y, x) - low_first.at<float>(y, x);
      if (low > 0 && low_left >= certain_share * low) {
        sure_low.at<std::uint8_t>(y, x) = 1;
        certain.at<float>(y, x) += low;
      }
      if (high > 0 && high_left >= certain_share * high) {
        sure_high.at<std::uint8_t>(y, x) = 1;
        certain.at<float>(y, x) -= high;
      }
    }
  }
  const int reach = 2 * static_cast<int>(std::lround(round_about_mm / pitch.value())) + 1;
  cv::Mat near;
  cv::boxFilter(certain, near, CV_32F, {reach, reach}, {-1, -1}, true, cv::BORDER_REFLECT);
  const auto far = static_cast<float>(whole_picture * cv::mean(certain)[0]);
  for (int y = 0; y < values.rows; ++y) {
    for (int x = 0; x < values.cols; ++x) {
      const bool low_wins = near.at<float>(y, x) + far >= 0;
      if (!low_wins && sure_low.at<std::uint8_t>(y, x) == 0)
        hats.low.at<float>(y, x) = 0;
      if (low_wins && sure_high.at<std::uint8_t>(y, x) == 0)
        hats.high.at<float>(y, x) = 0;
    }
  }
  return hats;
}

}  // namespace powderplan
