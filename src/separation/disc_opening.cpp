#include "separation/disc_opening.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace powderplan {
namespace {

using Word = BitMask::Word;

// Of a row with room beside it: bit x and those up to x + length - 1 all in.
void keep_runs(std::vector<Word>& row, int length) {
  const auto with_shifted = [&](int by) {
    const auto whole = static_cast<std::size_t>(by / BitMask::word_bits);
    const int part = by % BitMask::word_bits;
    const std::size_t count = row.size() - whole - 1;
    if (part == 0) {
      for (std::size_t w = 0; w < count; ++w)
        row[w] &= row[w + whole];
      return;
    }
    for (std::size_t w = 0; w < count; ++w)
      row[w] &= row[w + whole] >> part | row[w + whole + 1] << (BitMask::word_bits - part);
  };
  for (int reached = 1; reached < length;) {
    const int step = std::min(reached, length - reached);
    with_shifted(step);
    reached += step;
  }
}

// Points at which all of the disc is in; beyond the mask everything is. The result may be larger than the
// mask.
BitMask where_disc_fits(const BitMask& mask, const DiscRows& disc, int width, int height) {
  BitMask out = BitMask(width, height).inverted();
  const int diameter = static_cast<int>(disc.rows.size());
  const auto room = static_cast<std::size_t>(diameter / BitMask::word_bits + 2);
  std::vector<Word> padded(room + std::max(mask.words(), out.words()) + room + 1, ~Word{0}), line = padded;
  for (int y = 0; y < mask.height(); ++y) {
    const Word* from = mask.row(y);
    if (std::all_of(from, from + mask.words() - 1, [](Word w) { return w == ~Word{0}; }) &&
        from[mask.words() - 1] == mask.last_bits())
      continue;
    std::copy(from, from + mask.words(), padded.begin() + static_cast<std::ptrdiff_t>(room));
    padded[room + mask.words() - 1] |= ~mask.last_bits();
    // Rows of the disc are as long above its middle as below.
    for (int r = 0; 2 * r < diameter; ++r) {
      const DiscRows::Run& run = disc.rows[static_cast<std::size_t>(r)];
      if (r == 0 || run.length != disc.rows[static_cast<std::size_t>(r - 1)].length) {
        line = padded;
        keep_runs(line, run.length);
      }
      const int at = static_cast<int>(room) * BitMask::word_bits + run.first;
      const Word* shifted = line.data() + at / BitMask::word_bits;
      const int part = at % BitMask::word_bits;
      for (const int row : {r, diameter - 1 - r}) {
        const int to_y = y - disc.first_row - row;
        if (to_y < 0 || to_y >= height || (row != r && 2 * r + 1 == diameter))
          continue;
        Word* to = out.row(to_y);
        if (part == 0) {
          for (std::size_t w = 0; w < out.words(); ++w)
            to[w] &= shifted[w];
        } else {
          for (std::size_t w = 0; w < out.words(); ++w)
            to[w] &= shifted[w] >> part | shifted[w + 1] << (BitMask::word_bits - part);
        }
      }
    }
  }
  return out;
}

}  // namespace

cv::Mat points_of_disc(int diameter) {
  const double centre = (diameter - 1) / 2.0, radius = diameter / 2.0;
  cv::Mat kernel = cv::Mat::zeros(diameter, diameter, CV_8U);
  for (int y = 0; y < diameter; ++y) {
    for (int x = 0; x < diameter; ++x)
      kernel.at<std::uint8_t>(y, x) = std::hypot(x - centre, y - centre) <= radius ? 1 : 0;
  }
  return kernel;
}

DiscRows rows_of_disc(int diameter, bool mirrored) {
  const int anchor = diameter / 2, last = diameter - 1;
  const double centre = last / 2.0, radius = diameter / 2.0;
  DiscRows disc{mirrored ? anchor - last : -anchor, {}};
  for (int y = 0; y < diameter; ++y) {
    int margin = 0;
    while (std::hypot(margin - centre, y - centre) > radius)
      ++margin;
    disc.rows.push_back({margin + disc.first_row, diameter - 2 * margin});
  }
  return disc;
}

// For an even diameter a disc lies between points, and one may lie on any edge of the piece: on the right and
// lower ones the point asked about is one beyond, so there is a row and a column more of these.
BitMask opened_by_disc(const BitMask& mask, int diameter) {
  if (mask.width() == 0 || mask.height() == 0 || diameter < 2)
    return mask;
  const int beyond = diameter % 2 == 0 ? 1 : 0;
  const BitMask fits =
      where_disc_fits(mask, rows_of_disc(diameter, false), mask.width() + beyond, mask.height() + beyond);
  // A point is covered by a disc unless none that would reach it fits.
  return where_disc_fits(fits.inverted(), rows_of_disc(diameter, true), mask.width(), mask.height())
      .inverted();
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
