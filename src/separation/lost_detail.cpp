#include "separation/lost_detail.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

namespace powderplan {
namespace {

// Three boxes one after the other are nearly a Gaussian (central limit theorem), as fast for any width.
constexpr int boxes = 3;

// Odd width in points of each box, for a Gaussian of this standard deviation.
int box_width(double sigma) {
  return 2 * static_cast<int>(std::lround((std::sqrt(12 * sigma * sigma / boxes + 1) - 1) / 2)) + 1;
}

// Mean round about each point, of those that count.
cv::Mat blurred(const cv::Mat& values, const cv::Mat& counts, double sigma) {
  const cv::Size box(box_width(sigma), box_width(sigma));
  cv::Mat sum, weight;
  values.copyTo(sum);
  counts.copyTo(weight);
  for (int pass = 0; pass < boxes; ++pass) {
    cv::boxFilter(sum, sum, -1, box, {-1, -1}, true, cv::BORDER_REFLECT);
    cv::boxFilter(weight, weight, -1, box, {-1, -1}, true, cv::BORDER_REFLECT);
  }
  cv::Mat weights[3] = {weight, weight, weight}, divisor = weight;
  if (sum.channels() == 3)
    cv::merge(weights, 3, divisor);
  cv::Mat mean;
  cv::divide(sum, cv::max(divisor, 1e-6), mean);
  return mean;
}

// The picture less its blur; 0 where points do not count.
cv::Mat detail_of(const Image<LabPixel>& picture, const cv::Mat& counts, double sigma) {
  const cv::Mat colours(picture.height(), picture.width(), CV_32FC3, const_cast<LabPixel*>(picture.data()));
  cv::Mat masked = cv::Mat::zeros(colours.size(), CV_32FC3), detail;
  colours.copyTo(masked, counts > 0);
  cv::Mat(masked - blurred(masked, counts, sigma)).copyTo(detail, counts > 0);
  return detail;
}

// Product of two details at each point, all channels together.
cv::Mat product(const cv::Mat& a, const cv::Mat& b) {
  cv::Mat out(a.size(), CV_32F);
  for (int y = 0; y < a.rows; ++y) {
    for (int x = 0; x < a.cols; ++x)
      out.at<float>(y, x) = a.at<cv::Vec3f>(y, x).dot(b.at<cv::Vec3f>(y, x));
  }
  return out;
}

// How much of the detail is shown round about each point, in the best of nine places: as it lies, or `aside`
// points off.
cv::Mat best_match(const cv::Mat& detail, const cv::Mat& shown, const cv::Mat& counts, double sigma,
                   int aside) {
  cv::Mat framed, best = blurred(product(detail, shown), counts, sigma);
  cv::copyMakeBorder(shown, framed, aside, aside, aside, aside, cv::BORDER_REPLICATE);
  for (int dy = -aside; dy <= aside && aside > 0; dy += aside) {
    for (int dx = -aside; dx <= aside; dx += aside) {
      const cv::Mat moved = framed(cv::Rect(aside + dx, aside + dy, shown.cols, shown.rows));
      best = cv::max(best, blurred(product(detail, moved), counts, sigma));
    }
  }
  return best;
}

}  // namespace

LostDetail lost_detail(const Image<LabPixel>& wanted, const Image<LabPixel>& got,
                       const Image<std::uint8_t>& bare, Millimetres pitch, Millimetres smallest) {
  LostDetail found{0, Image<std::uint8_t>(wanted.width(), wanted.height())};
  if (wanted.empty())
    return found;
  cv::Mat counts(wanted.height(), wanted.width(), CV_32F);
  for (std::size_t i = 0; i < bare.size(); ++i)
    counts.ptr<float>(0)[i] = bare[i] == 0 ? 1.0F : 0.0F;
  // A Gaussian as wide at half height as the smallest width.
  const double sigma = smallest / pitch / (2 * std::sqrt(2 * std::log(2)));
  const cv::Mat detail = detail_of(wanted, counts, sigma), shown = detail_of(got, counts, sigma);
  const cv::Mat energy = product(detail, detail);
  const cv::Mat near = blurred(energy, counts, sigma);
  const cv::Mat kept =
      best_match(detail, shown, counts, sigma, static_cast<int>(std::lround(shown_aside / pitch)));
  double all = 0, lost = 0;
  std::size_t counted = 0, detailed = 0;
  for (int y = 0; y < near.rows; ++y) {
    for (int x = 0; x < near.cols; ++x) {
      if (counts.at<float>(y, x) == 0)
        continue;
      ++counted;
      const float here = near.at<float>(y, x);
      if (here < least_detail * least_detail)
        continue;
      ++detailed;
      all += static_cast<double>(energy.at<float>(y, x));
      if (kept.at<float>(y, x) >= here / 2)
        continue;
      lost += static_cast<double>(energy.at<float>(y, x));
      found.lost.at(x, y) = 255;
    }
  }
  if (static_cast<double>(detailed) < least_detail_area * static_cast<double>(counted) || all <= 0)
    return {0, Image<std::uint8_t>(wanted.width(), wanted.height())};
  found.share = lost / all;
  return found;
}

}  // namespace powderplan
