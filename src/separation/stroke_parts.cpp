#include "separation/stroke_parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "separation/thinning.h"

namespace powderplan {
namespace {

// 1 where the part that a point belongs to is kept.
cv::Mat kept_parts(const cv::Mat& ids, const std::vector<std::uint8_t>& keeps) {
  cv::Mat kept(ids.size(), CV_8U);
  for (int y = 0; y < ids.rows; ++y) {
    const int* id = ids.ptr<int>(y);
    std::uint8_t* out = kept.ptr<std::uint8_t>(y);
    for (int x = 0; x < ids.cols; ++x)
      out[x] = keeps[static_cast<std::size_t>(id[x])];
  }
  return kept;
}

// For each part its points and the length of its skeleton. `ids` are 0 outside the mask.
struct Extents {
  std::vector<double> points, lengths;
};

Extents extents_of(const cv::Mat& mask, const cv::Mat& ids, int count) {
  Extents extents;
  extents.points.resize(static_cast<std::size_t>(count));
  extents.lengths.resize(static_cast<std::size_t>(count));
  Image<std::uint8_t> copy(mask.cols, mask.rows);
  for (int y = 0; y < mask.rows; ++y) {
    std::copy_n(mask.ptr<std::uint8_t>(y), mask.cols, copy.row(y));
    for (int x = 0; x < mask.cols; ++x) {
      if (copy.at(x, y) != 0)
        ++extents.points[static_cast<std::size_t>(ids.at<int>(y, x))];
    }
  }
  const Image<std::uint8_t> lines = thinned(copy);
  const auto on = [&](int x, int y) {
    return x >= 0 && x < mask.cols && y < mask.rows && lines.at(x, y) != 0;
  };
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      if (!on(x, y))
        continue;
      // Links to points that come later; a diagonal one counts where no straight ones lead there.
      const bool right = on(x + 1, y), down = on(x, y + 1);
      double& length = extents.lengths[static_cast<std::size_t>(ids.at<int>(y, x))];
      length += (right ? 1 : 0) + (down ? 1 : 0);
      if (on(x + 1, y + 1) && !right && !down)
        length += std::numbers::sqrt2;
      if (on(x - 1, y + 1) && !on(x - 1, y) && !down)
        length += std::numbers::sqrt2;
    }
  }
  return extents;
}

}  // namespace

cv::Mat parts_holding(const cv::Mat& weak, const cv::Mat& strong) {
  cv::Mat ids;
  const int count = cv::connectedComponents(weak, ids, 8, CV_32S);
  std::vector<std::uint8_t> holds(static_cast<std::size_t>(count));
  for (int y = 0; y < weak.rows; ++y) {
    for (int x = 0; x < weak.cols; ++x) {
      if (strong.at<std::uint8_t>(y, x) != 0)
        holds[static_cast<std::size_t>(ids.at<int>(y, x))] = 1;
    }
  }
  holds[0] = 0;
  return kept_parts(ids, holds);
}

cv::Mat long_parts(const cv::Mat& mask, double shortest, double slender, double gap) {
  // Numbered by the parts of a larger mask, in which small gaps are closed.
  cv::Mat closed = mask.clone(), ids;
  if (const int radius = static_cast<int>(std::lround(gap / 2)); radius > 0)
    cv::dilate(mask, closed, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * radius + 1, 2 * radius + 1}));
  const int count = cv::connectedComponents(closed, ids, 8, CV_32S);
  const Extents extents = extents_of(mask, ids, count);
  std::vector<std::uint8_t> keeps(static_cast<std::size_t>(count));
  for (std::size_t i = 1; i < keeps.size(); ++i) {
    const double length = extents.lengths[i] + 1;
    keeps[i] = length >= shortest && length * length >= slender * extents.points[i] ? 1 : 0;
  }
  return kept_parts(ids, keeps) & cv::min(mask, 1);
}

cv::Mat parts_between(const cv::Mat& thick, const cv::Mat& thin) {
  cv::Mat thick_ids, thin_ids;
  const int thick_count = cv::connectedComponents(thick, thick_ids, 8, CV_32S);
  if (thick_count == 1)
    return cv::Mat::zeros(thick.size(), CV_8U);
  const int thin_count = cv::connectedComponents(thin, thin_ids, 8, CV_32S);
  const Extents wide = extents_of(thick, thick_ids, thick_count),
                narrow = extents_of(thin, thin_ids, thin_count);
  std::vector<std::vector<int>> touching(static_cast<std::size_t>(thick_count));
  for (int y = 0; y < thick.rows; ++y) {
    for (int x = 0; x < thick.cols; ++x) {
      const int id = thick_ids.at<int>(y, x);
      if (id == 0)
        continue;
      for (int ny = std::max(0, y - 1); ny <= std::min(thick.rows - 1, y + 1); ++ny) {
        for (int nx = std::max(0, x - 1); nx <= std::min(thick.cols - 1, x + 1); ++nx) {
          std::vector<int>& known = touching[static_cast<std::size_t>(id)];
          const int other = thin_ids.at<int>(ny, nx);
          if (other != 0 && std::find(known.begin(), known.end(), other) == known.end())
            known.push_back(other);
        }
      }
    }
  }
  std::vector<std::uint8_t> keeps(static_cast<std::size_t>(thick_count));
  for (std::size_t i = 1; i < keeps.size(); ++i) {
    double length = 0;
    for (const int other : touching[i])
      length += narrow.lengths[static_cast<std::size_t>(other)];
    keeps[i] = !touching[i].empty() && length >= wide.lengths[i] ? 1 : 0;
  }
  return kept_parts(thick_ids, keeps);
}

}  // namespace powderplan
