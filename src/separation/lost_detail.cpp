#include "separation/lost_detail.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "parallel.h"

namespace powderplan {
namespace {

// Three boxes one after the other are nearly a Gaussian (central limit theorem), as fast for any width.
constexpr int boxes = 3;

// Odd width in points of each box, for a Gaussian of this standard deviation.
int box_width(double sigma) {
  return 2 * static_cast<int>(std::lround((std::sqrt(12 * sigma * sigma / boxes + 1) - 1) / 2)) + 1;
}

void box(const cv::Mat& values, double sigma, cv::Mat& sum) {
  const cv::Size size(box_width(sigma), box_width(sigma));
  cv::boxFilter(values, sum, -1, size, {-1, -1}, true, cv::BORDER_REFLECT);
  for (int pass = 1; pass < boxes; ++pass)
    cv::boxFilter(sum, sum, -1, size, {-1, -1}, true, cv::BORDER_REFLECT);
}

// Which points count (1, others 0), and what share of those round about each does; empty where all of them
// do.
struct Counts {
  cv::Mat at, near;
};
Counts counted(cv::Mat at, double sigma) {
  Counts counts{std::move(at), {}};
  if (static_cast<std::size_t>(cv::countNonZero(counts.at)) < counts.at.total()) {
    box(counts.at, sigma, counts.near);
    counts.near = cv::max(counts.near, 1e-6);
  }
  return counts;
}

// Mean round about each point, of those that count. `mean` may be the values themselves.
void blur(const cv::Mat& values, const Counts& counts, double sigma, cv::Mat& mean) {
  box(values, sigma, mean);
  if (counts.near.empty())
    return;
  const cv::Mat three[3] = {counts.near, counts.near, counts.near};
  cv::Mat divisor = counts.near;
  if (mean.channels() == 3)
    cv::merge(three, 3, divisor);
  cv::divide(mean, divisor, mean);
}

// The picture less its blur; 0 where points do not count.
cv::Mat detail_of(const Image<LabPixel>& picture, const Counts& counts, double sigma) {
  const cv::Mat colours(picture.height(), picture.width(), CV_32FC3, const_cast<LabPixel*>(picture.data()));
  cv::Mat mean, detail;
  if (counts.near.empty()) {
    blur(colours, counts, sigma, mean);
    cv::subtract(colours, mean, mean);
    return mean;
  }
  const cv::Mat mask = counts.at > 0;
  cv::Mat masked = cv::Mat::zeros(colours.size(), CV_32FC3);
  colours.copyTo(masked, mask);
  blur(masked, counts, sigma, mean);
  cv::subtract(masked, mean, mean);
  mean.copyTo(detail, mask);
  return detail;
}

// Product of two details at each point, all channels together.
void multiply(const cv::Mat& a, const cv::Mat& b, cv::Mat& out) {
  out.create(a.size(), CV_32F);
  for (int y = 0; y < a.rows; ++y) {
    const float *const one = a.ptr<float>(y), *const other = b.ptr<float>(y);
    float* const to = out.ptr<float>(y);
    for (std::size_t x = 0; x < static_cast<std::size_t>(a.cols); ++x)
      to[x] =
          one[3 * x] * other[3 * x] + one[3 * x + 1] * other[3 * x + 1] + one[3 * x + 2] * other[3 * x + 2];
  }
}

// How much of the detail is shown round about each point, in the best of nine places: as it lies, or `aside`
// points off.
cv::Mat best_match(const cv::Mat& detail, const cv::Mat& shown, const Counts& counts, double sigma,
                   int aside) {
  // One picture serves all places: fresh memory would take as long as the arithmetic.
  cv::Mat framed, best, here;
  multiply(detail, shown, best);
  blur(best, counts, sigma, best);
  cv::copyMakeBorder(shown, framed, aside, aside, aside, aside, cv::BORDER_REPLICATE);
  for (int dy = -aside; dy <= aside && aside > 0; dy += aside) {
    for (int dx = -aside; dx <= aside; dx += aside) {
      const cv::Mat moved = framed(cv::Rect(aside + dx, aside + dy, shown.cols, shown.rows));
      multiply(detail, moved, here);
      blur(here, counts, sigma, here);
      cv::max(best, here, best);
    }
  }
  return best;
}

// What one part of the rows adds up to.
struct Sums {
  double all = 0, lost = 0;
  std::size_t counted = 0, detailed = 0;
};

// How wide the details are that are looked at, in points.
struct Scale {
  double sigma;  // of the Gaussian that takes them away
  int aside;     // so far off a detail may be shown
  // From how far away a point's answer comes: two blurs and the way aside.
  [[nodiscard]] int reach() const { return 2 * boxes * (box_width(sigma) / 2) + aside + 1; }
};

// Of the rows [begin, end); marks in `found` what is lost.
Sums lost_in(const Image<PackedLab>& wanted, const Image<PackedLab>& got, const Image<std::uint8_t>& bare,
             const Scale& scale, int begin, int end, Image<std::uint8_t>& found) {
  const int first = std::max(0, begin - scale.reach()), last = std::min(wanted.height(), end + scale.reach());
  cv::Mat not_bare(last - first, wanted.width(), CV_32F, 1);
  if (!bare.empty())
    std::transform(bare.row(first), bare.row(first) + not_bare.total(), not_bare.ptr<float>(0),
                   [](std::uint8_t b) { return b == 0 ? 1.0F : 0.0F; });
  const Counts counts = counted(not_bare, scale.sigma);
  const cv::Mat detail = detail_of(unpacked_rows(wanted, first, last), counts, scale.sigma),
                shown = detail_of(unpacked_rows(got, first, last), counts, scale.sigma);
  cv::Mat energy, near;
  multiply(detail, detail, energy);
  blur(energy, counts, scale.sigma, near);
  const cv::Mat kept = best_match(detail, shown, counts, scale.sigma, scale.aside);
  Sums sums;
  for (int y = begin; y < end; ++y) {
    for (int x = 0; x < near.cols; ++x) {
      if (not_bare.at<float>(y - first, x) == 0)
        continue;
      ++sums.counted;
      const float here = near.at<float>(y - first, x);
      if (here < least_detail * least_detail)
        continue;
      ++sums.detailed;
      sums.all += static_cast<double>(energy.at<float>(y - first, x));
      if (kept.at<float>(y - first, x) >= here / 2)
        continue;
      sums.lost += static_cast<double>(energy.at<float>(y - first, x));
      found.at(x, y) = 255;
    }
  }
  return sums;
}

}  // namespace

LostDetail lost_detail(const Image<PackedLab>& wanted, const Image<PackedLab>& got,
                       const Image<std::uint8_t>& bare, Millimetres pitch, Millimetres smallest) {
  LostDetail found{0, Image<std::uint8_t>(wanted.width(), wanted.height())};
  // A Gaussian as wide at half height as the smallest width.
  const Scale scale{smallest / pitch / (2 * std::sqrt(2 * std::log(2))),
                    static_cast<int>(std::lround(shown_aside / pitch))};
  // In parts much higher than what they share with their neighbours, so that little is held at once.
  const int rows = std::max(128, 8 * scale.reach());
  std::vector<Sums> parts(static_cast<std::size_t>((wanted.height() + rows - 1) / rows));
  for_each_block(parts.size(), [&](std::size_t i) {
    const int begin = static_cast<int>(i) * rows;
    parts[i] = lost_in(wanted, got, bare, scale, begin, std::min(wanted.height(), begin + rows), found.lost);
  });
  Sums sums;
  for (const Sums& part : parts) {
    sums.all += part.all;
    sums.lost += part.lost;
    sums.counted += part.counted;
    sums.detailed += part.detailed;
  }
  if (static_cast<double>(sums.detailed) < least_detail_area * static_cast<double>(sums.counted) ||
      sums.all <= 0)
    return {0, Image<std::uint8_t>(wanted.width(), wanted.height())};
  found.share = sums.lost / sums.all;
  return found;
}

}  // namespace powderplan
