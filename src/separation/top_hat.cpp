#include "separation/top_hat.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "parallel.h"
#include "wide_vectors.h"

namespace powderplan {
namespace {

// Certain strokes so far away help to tell which of two kinds is the stroke.
constexpr double round_about_mm = 10;
// What is left of a certain stroke when the other kind went first.
constexpr double certain_share = 0.5;
// Certain strokes of the whole picture count so much less than those round about.
constexpr double whole_picture = 0.05;
constexpr int rows_at_once = 64;
constexpr std::uint8_t sure_low = 1, sure_high = 2;

// Rows [begin, end) of a picture, worked out from rows [first, last).
struct Band {
  int begin, end, first, last;
};

// All rows, a band at a time, each with `around` more rows on either side where there are any: so that little
// is held besides the picture.
template <class Work>
void in_bands(int rows, int around, Work&& work) {
  const int height = std::max(128, 4 * around);
  for_each_block(static_cast<std::size_t>((rows + height - 1) / height), [&](std::size_t block) {
    const int begin = static_cast<int>(block) * height, end = std::min(rows, begin + height);
    work(Band{begin, end, std::max(0, begin - around), std::min(rows, end + around)});
  });
}

enum class Extreme { lowest, highest };

template <Extreme extreme>
float better(float a, float b) {
  if constexpr (extreme == Extreme::lowest)
    return a < b ? a : b;
  else
    return a > b ? a : b;
}

// Of each pair the better one.
POWDERPLAN_WIDE_VECTORS
void lower_into(float* __restrict to, const float* __restrict other, int count) {
  for (int i = 0; i < count; ++i)
    to[i] = better<Extreme::lowest>(to[i], other[i]);
}
POWDERPLAN_WIDE_VECTORS
void higher_into(float* __restrict to, const float* __restrict other, int count) {
  for (int i = 0; i < count; ++i)
    to[i] = better<Extreme::highest>(to[i], other[i]);
}

// The lowest or the highest of the values under the disc laid on each point; what lies beyond the edge does
// not count. A row of the disc is a run of points, and the lowest of a run comes from those of shorter ones
// (van Herk 1992 shares them further; discs of strokes are small).
cv::Mat extreme_under(const cv::Mat& values, const DiscRows& disc, Extreme extreme) {
  cv::Mat out(values.size(), CV_32F);
  const int diameter = static_cast<int>(disc.rows.size()), width = values.cols;
  const auto at = [](int i) { return static_cast<std::size_t>(i); };
  const float worst =
      extreme == Extreme::lowest ? std::numeric_limits<float>::max() : std::numeric_limits<float>::lowest();
  const auto better_into = extreme == Extreme::lowest ? lower_into : higher_into;
  // The disc's rows from the shortest to the longest.
  std::vector<int> order(at(diameter));
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(),
                   [&](int a, int b) { return disc.rows[at(a)].length < disc.rows[at(b)].length; });
  for_each_block(at((values.rows + rows_at_once - 1) / rows_at_once), [&](std::size_t block) {
    const int begin = static_cast<int>(block) * rows_at_once,
              end = std::min(values.rows, begin + rows_at_once);
    out.rowRange(begin, end).setTo(worst);
    // What is not worked out at the end of a row lies beyond its last run.
    const int padded = width + 2 * diameter;
    std::vector<float> runs(at(padded)), longer(at(padded));
    for (int y = std::max(0, begin + disc.first_row);
         y < std::min(values.rows, end + disc.first_row + diameter - 1); ++y) {
      std::fill(runs.begin(), runs.end(), worst);
      std::copy_n(values.ptr<float>(y), width, runs.begin() + diameter);
      int length = 1;
      for (const int row : order) {
        const DiscRows::Run& run = disc.rows[at(row)];
        while (length < run.length) {
          const int step = std::min(length, run.length - length);
          longer = runs;
          better_into(longer.data(), runs.data() + step, padded - step);
          runs.swap(longer);
          length += step;
        }
        const int to_y = y - disc.first_row - row;
        if (to_y < begin || to_y >= end)
          continue;
        float* to = out.ptr<float>(to_y);
        better_into(to, runs.data() + diameter + run.first, width);
      }
    }
  });
  return out;
}

cv::Mat lowest_under(const cv::Mat& values, const DiscRows& disc) {
  return extreme_under(values, disc, Extreme::lowest);
}
cv::Mat highest_under(const cv::Mat& values, const DiscRows& disc) {
  return extreme_under(values, disc, Extreme::highest);
}

}  // namespace

GreyDisc::GreyDisc(Millimetres diameter, Millimetres pitch)
    : diameter_(std::max(1, static_cast<int>(std::ceil(diameter / pitch - 1e-6)))),
      rows_(rows_of_disc(diameter_, false)),
      mirrored_(rows_of_disc(diameter_, true)) {}

cv::Mat GreyDisc::closed(const cv::Mat& values) const {
  return lowest_under(highest_under(values, rows_), mirrored_);
}

cv::Mat GreyDisc::opened(const cv::Mat& values) const {
  return highest_under(lowest_under(values, rows_), mirrored_);
}

cv::Mat GreyDisc::stands_out(const cv::Mat& values, bool low, double contrast) const {
  cv::Mat out(values.size(), CV_8U);
  in_bands(values.rows, diameter_, [&](const Band& band) {
    const cv::Mat part = values.rowRange(band.first, band.last);
    const cv::Mat hat = low ? cv::Mat(closed(part) - part) : cv::Mat(part - opened(part));
    cv::Mat(hat.rowRange(band.begin - band.first, band.end - band.first) >= contrast)
        .copyTo(out.rowRange(band.begin, band.end));
  });
  return out;
}

TopHats strokes_of(const cv::Mat& values, const GreyDisc& disc, double faint, Millimetres pitch) {
  TopHats hats{cv::Mat(values.size(), CV_32F), cv::Mat(values.size(), CV_32F),
               cv::Mat(values.size(), CV_32F)};
  cv::Mat sure(values.size(), CV_8U);
  const auto limit = static_cast<float>(faint);
  // A closing and an opening in turn.
  in_bands(values.rows, 2 * disc.diameter(), [&](const Band& band) {
    const cv::Mat part = values.rowRange(band.first, band.last);
    const cv::Mat closed = disc.closed(part), opened = disc.opened(part);
    const cv::Mat low_first = disc.opened(closed), high_first = disc.closed(opened);
    for (int y = band.begin; y < band.end; ++y) {
      const int row = y - band.first;
      for (int x = 0; x < values.cols; ++x) {
        float &low = hats.low.at<float>(y, x), &high = hats.high.at<float>(y, x);
        low = closed.at<float>(row, x) - part.at<float>(row, x);
        high = part.at<float>(row, x) - opened.at<float>(row, x);
        hats.any.at<float>(y, x) = std::max(low, high);
        if (low < limit)
          low = 0;
        if (high < limit)
          high = 0;
        const float low_left = high_first.at<float>(row, x) - opened.at<float>(row, x);
        const float high_left = closed.at<float>(row, x) - low_first.at<float>(row, x);
        std::uint8_t& which = sure.at<std::uint8_t>(y, x);
        which = 0;
        if (low > 0 && low_left >= certain_share * low)
          which |= sure_low;
        if (high > 0 && high_left >= certain_share * high)
          which |= sure_high;
      }
    }
  });
  // Above 0 where a stroke of the one kind is certain, below where one of the other is.
  const auto certain = [&](int y, int x) {
    const std::uint8_t which = sure.at<std::uint8_t>(y, x);
    return ((which & sure_low) != 0 ? hats.low.at<float>(y, x) : 0) -
           ((which & sure_high) != 0 ? hats.high.at<float>(y, x) : 0);
  };
  double sum = 0;
  for (int y = 0; y < values.rows; ++y) {
    for (int x = 0; x < values.cols; ++x)
      sum += static_cast<double>(certain(y, x));
  }
  const auto far =
      static_cast<float>(whole_picture * sum / static_cast<double>(std::max<std::size_t>(1, values.total())));
  const int reach = static_cast<int>(std::lround(round_about_mm / pitch.value()));
  in_bands(values.rows, reach, [&](const Band& band) {
    cv::Mat near(band.last - band.first, values.cols, CV_32F);
    for (int y = band.first; y < band.last; ++y) {
      for (int x = 0; x < values.cols; ++x)
        near.at<float>(y - band.first, x) = certain(y, x);
    }
    cv::boxFilter(near, near, CV_32F, {2 * reach + 1, 2 * reach + 1}, {-1, -1}, true, cv::BORDER_REFLECT);
    // What is certain stays as it is, so that other bands may read it meanwhile.
    for (int y = band.begin; y < band.end; ++y) {
      for (int x = 0; x < values.cols; ++x) {
        const bool low_wins = near.at<float>(y - band.first, x) + far >= 0;
        const std::uint8_t which = sure.at<std::uint8_t>(y, x);
        if (!low_wins && (which & sure_low) == 0)
          hats.low.at<float>(y, x) = 0;
        if (low_wins && (which & sure_high) == 0)
          hats.high.at<float>(y, x) = 0;
      }
    }
  });
  return hats;
}

}  // namespace powderplan
