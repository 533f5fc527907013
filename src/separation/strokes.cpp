#include "separation/strokes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "parallel.h"
#include "separation/thinning.h"
#include "separation/top_hat.h"

namespace powderplan {
namespace {

// Bare sheet against anything laid, as a difference like those of L*.
constexpr float bare_contrast = 50;
// The soft edge of a stroke reaches so far, and the colour of a stroke without it is found so near; in
// points.
constexpr int soft_edge = 2;

constexpr std::uint8_t darker = 1, lighter = 2;

cv::Mat disc_of(int radius) {
  return cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * radius + 1, 2 * radius + 1});
}

// The parts of `weak` that hold something of `strong` (hysteresis: Canny 1986).
cv::Mat holding(const cv::Mat& weak, const cv::Mat& strong) {
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
  cv::Mat kept(weak.size(), CV_8U);
  for (int y = 0; y < weak.rows; ++y) {
    for (int x = 0; x < weak.cols; ++x)
      kept.at<std::uint8_t>(y, x) = holds[static_cast<std::size_t>(ids.at<int>(y, x))];
  }
  return kept;
}

// Number of points and length in points of each part: `lengths` counts the links of its skeleton.
struct Extents {
  cv::Mat ids;
  std::vector<double> points, lengths;
};

Extents extents_of(const cv::Mat& mask) {
  Extents extents;
  const int count = cv::connectedComponents(mask, extents.ids, 8, CV_32S);
  extents.points.resize(static_cast<std::size_t>(count));
  extents.lengths.resize(static_cast<std::size_t>(count));
  Image<std::uint8_t> copy(mask.cols, mask.rows);
  for (int y = 0; y < mask.rows; ++y) {
    std::copy_n(mask.ptr<std::uint8_t>(y), mask.cols, copy.row(y));
    for (int x = 0; x < mask.cols; ++x)
      ++extents.points[static_cast<std::size_t>(extents.ids.at<int>(y, x))];
  }
  const Image<std::uint8_t> lines = thinned(copy);
  const auto on = [&](int x, int y) { return lines.at(x, y) != 0; };
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      if (!on(x, y))
        continue;
      double& length = extents.lengths[static_cast<std::size_t>(extents.ids.at<int>(y, x))];
      const bool right = x + 1 < mask.cols && on(x + 1, y);
      const bool down = y + 1 < mask.rows && on(x, y + 1);
      length += (right ? 1 : 0) + (down ? 1 : 0);
      // A diagonal link counts where no straight ones lead there.
      if (x + 1 < mask.cols && y + 1 < mask.rows && on(x + 1, y + 1) && !right && !down)
        length += std::numbers::sqrt2;
      if (x > 0 && y + 1 < mask.rows && on(x - 1, y + 1) && !on(x - 1, y) && !down)
        length += std::numbers::sqrt2;
    }
  }
  return extents;
}

// Without what is too short against its width.
cv::Mat without_dust(const cv::Mat& mask, const StrokeRules& rules, Millimetres pitch) {
  const Extents extents = extents_of(mask);
  cv::Mat kept = mask.clone();
  std::vector<std::uint8_t> keeps(extents.points.size());
  for (std::size_t i = 1; i < keeps.size(); ++i) {
    const double length = extents.lengths[i] + 1;
    const double width = extents.points[i] / length;
    keeps[i] = length * pitch.value() >= rules.shortest.value() && length >= rules.slender * width;
  }
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      if (keeps[static_cast<std::size_t>(extents.ids.at<int>(y, x))] == 0)
        kept.at<std::uint8_t>(y, x) = 0;
    }
  }
  return kept;
}

// Parts of `thick` that go on as thin strokes of `thin`: those strokes, where they touch it, are together at
// least as long as it is.
cv::Mat going_on(const cv::Mat& thick, const cv::Mat& thin) {
  const Extents wide = extents_of(thick), narrow = extents_of(thin);
  std::vector<std::vector<int>> touching(wide.points.size());
  for (int y = 0; y < thick.rows; ++y) {
    for (int x = 0; x < thick.cols; ++x) {
      const int id = wide.ids.at<int>(y, x);
      if (id == 0)
        continue;
      for (int ny = std::max(0, y - 1); ny <= std::min(thick.rows - 1, y + 1); ++ny) {
        for (int nx = std::max(0, x - 1); nx <= std::min(thick.cols - 1, x + 1); ++nx) {
          if (const int other = narrow.ids.at<int>(ny, nx); other != 0) {
            std::vector<int>& known = touching[static_cast<std::size_t>(id)];
            if (std::find(known.begin(), known.end(), other) == known.end())
              known.push_back(other);
          }
        }
      }
    }
  }
  cv::Mat kept = cv::Mat::zeros(thick.size(), CV_8U);
  std::vector<std::uint8_t> keeps(wide.points.size());
  for (std::size_t i = 1; i < keeps.size(); ++i) {
    double length = 0;
    for (const int other : touching[i])
      length += narrow.lengths[static_cast<std::size_t>(other)];
    keeps[i] = !touching[i].empty() && length >= wide.lengths[i];
  }
  for (int y = 0; y < thick.rows; ++y) {
    for (int x = 0; x < thick.cols; ++x)
      kept.at<std::uint8_t>(y, x) = keeps[static_cast<std::size_t>(wide.ids.at<int>(y, x))];
  }
  return kept;
}

// One look at a picture of one number.
struct Look {
  cv::Mat low, high;  // CV_8U: strokes with their soft edges
};

cv::Mat strokes_in(const cv::Mat& hat, const cv::Mat& wide_hat, const StrokeRules& rules, Millimetres pitch) {
  cv::Mat strokes = without_dust(holding(hat >= rules.faint, hat >= rules.contrast), rules, pitch);
  strokes = cv::min(strokes, 1);
  if (cv::countNonZero(strokes) == 0)
    return strokes;
  // What a larger disc takes away besides.
  cv::Mat thick = (wide_hat >= rules.contrast) & (strokes == 0);
  cv::morphologyEx(thick, thick, cv::MORPH_OPEN, cv::Mat::ones(2, 2, CV_8U));
  return strokes | cv::min(going_on(thick, strokes), 1);
}

Look look_at(const cv::Mat& values, const StrokeRules& rules, Millimetres pitch) {
  const GreyDisc disc(rules.smallest, pitch), wide(rules.smallest * rules.swelling, pitch);
  const TopHats hats = strokes_of(values, disc, rules.faint, pitch);
  std::array<cv::Mat, 2> found;
  for_each_block(2, [&](std::size_t i) {
    const cv::Mat& hat = i == 0 ? hats.low : hats.high;
    double most = 0;
    cv::minMaxLoc(hat, nullptr, &most);
    if (most < rules.contrast) {
      found[i] = cv::Mat::zeros(values.size(), CV_8U);
      return;
    }
    const cv::Mat wide_hat = i == 0 ? wide.closed(values) - values : values - wide.opened(values);
    found[i] = strokes_in(hat, wide_hat, rules, pitch);
  });
  return {found[0], found[1]};
}

// Points with four numbers: Lab, and bare_contrast where the sheet is bare.
using Points = std::array<cv::Mat, 4>;

// Each point of `holes` takes what the nearest point beside them has.
class Filling {
 public:
  explicit Filling(const cv::Mat& holes) : from_(holes.size(), CV_32S) {
    const cv::Mat outside = holes == 0;
    if (cv::countNonZero(outside) == 0) {
      from_.release();
      return;
    }
    cv::Mat far, ids;
    cv::distanceTransform(holes, far, ids, cv::DIST_L2, cv::DIST_MASK_5, cv::DIST_LABEL_PIXEL);
    std::vector<int> point_of(static_cast<std::size_t>(holes.total()) + 1);
    for (int y = 0; y < holes.rows; ++y) {
      for (int x = 0; x < holes.cols; ++x) {
        if (holes.at<std::uint8_t>(y, x) == 0)
          point_of[static_cast<std::size_t>(ids.at<int>(y, x))] = y * holes.cols + x;
      }
    }
    for (int y = 0; y < holes.rows; ++y) {
      for (int x = 0; x < holes.cols; ++x)
        from_.at<int>(y, x) = point_of[static_cast<std::size_t>(ids.at<int>(y, x))];
    }
  }
  // No hole, or nothing but holes: nothing changes.
  [[nodiscard]] std::size_t source(int x, int y, int width) const {
    const std::size_t here =
        static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
    return from_.empty() ? here : static_cast<std::size_t>(from_.at<int>(y, x));
  }

 private:
  cv::Mat from_;
};

void fill(Points& points, const cv::Mat& holes) {
  const Filling filling(holes);
  for (cv::Mat& values : points) {
    const cv::Mat before = values.clone();
    for (int y = 0; y < values.rows; ++y) {
      for (int x = 0; x < values.cols; ++x) {
        if (holes.at<std::uint8_t>(y, x) != 0)
          values.at<float>(y, x) = before.ptr<float>(0)[filling.source(x, y, values.cols)];
      }
    }
  }
}

// Light that adds up where a stroke covers a point in part. Pictures mix the two colours of an edge in linear
// light when they are made smaller, and in codes when they are drawn; the power 2/3 of linear light lies
// between, and is the square of the cube root that L* is made of: a line comes out wrong by a fifth of a
// point at most.
cv::Vec3f mixing(const LabPixel& c) {
  const float fy = (c.l + 16) / 116, fx = fy + c.a / 500, fz = fy - c.b / 200;
  return {fx * std::abs(fx), fy * std::abs(fy), fz * std::abs(fz)};
}

// For each point of `strokes` the point near it that differs most from its ground.
cv::Mat strongest_near(const cv::Mat& contrast) {
  // Contrast and place packed in one number, so that the larger wins and brings its place along.
  cv::Mat packed(contrast.size(), CV_64F), best;
  for (int y = 0; y < contrast.rows; ++y) {
    for (int x = 0; x < contrast.cols; ++x)
      packed.at<double>(y, x) =
          std::floor(static_cast<double>(contrast.at<float>(y, x)) * 16) * 4294967296.0 +
          static_cast<double>(y) * contrast.cols + x;
  }
  cv::dilate(packed, best, disc_of(soft_edge));
  return best;
}

double squared_step(const LabPixel& p, const LabPixel& q) {
  const double dl = p.l - q.l, da = p.a - q.a, db = p.b - q.b;
  return dl * dl + da * da + db * db;
}

}  // namespace

Image<std::uint8_t> strokes_of_kind(const StrokeMap& strokes, std::uint8_t kind) {
  Image<std::uint8_t> mask(strokes.on.width(), strokes.on.height());
  for (std::size_t i = 0; i < mask.size(); ++i)
    mask[i] = strokes.on[i] == kind ? 1 : 0;
  return mask;
}

StrokeMap find_strokes(const Target& target, const StrokeRules& rules) {
  const int width = target.grid.width, height = target.grid.height;
  const Millimetres pitch = target.grid.pitch;
  StrokeMap map{Image<std::uint8_t>(width, height),
                Image<std::uint8_t>(width, height),
                Image<LabPixel>(width, height),
                target.wanted,
                target.bare,
                0};
  if (target.picture.empty())
    return map;
  // The picture on the sheet.
  Image<LabPixel> look = target.picture;
  Points points;
  for (cv::Mat& values : points)
    values.create(height, width, CV_32F);
  const LabPixel sheet = to_pixel(rules.sheet);
  for (std::size_t i = 0; i < look.size(); ++i) {
    if (target.bare[i] != 0)
      look[i] = sheet;
    points[0].ptr<float>(0)[i] = look[i].l;
    points[1].ptr<float>(0)[i] = look[i].a;
    points[2].ptr<float>(0)[i] = look[i].b;
    points[3].ptr<float>(0)[i] = target.bare[i] != 0 ? bare_contrast : 0;
  }
  // Each look goes on with a picture without what was found before.
  cv::Mat all = cv::Mat::zeros(height, width, CV_8U), holes = all.clone();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Look found = look_at(points[i], rules, pitch);
    const cv::Mat both = found.low | found.high;
    if (cv::countNonZero(both) == 0)
      continue;
    all |= both;
    cv::Mat wider;
    cv::dilate(both, wider, disc_of(soft_edge));
    holes |= wider;
    fill(points, holes);
  }
  if (cv::countNonZero(all) == 0)
    return map;

  // What the strokes differ by, and how much of each point they cover.
  const Filling filling(holes);
  Image<LabPixel> ground(width, height);
  cv::Mat contrast = cv::Mat::zeros(height, width, CV_32F);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const std::size_t from = filling.source(x, y, width);
      ground.at(x, y) = look[from];
      map.ground.at(x, y) = target.wanted[from];
      map.ground_bare.at(x, y) = target.bare[from];
      if (holes.at<std::uint8_t>(y, x) != 0) {
        const auto bare_step =
            static_cast<float>(target.bare.at(x, y) != target.bare[from] ? bare_contrast : 0);
        contrast.at<float>(y, x) =
            std::hypot(static_cast<float>(std::sqrt(squared_step(look.at(x, y), look[from]))), bare_step);
      }
    }
  }
  const cv::Mat strongest = strongest_near(contrast);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      if (holes.at<std::uint8_t>(y, x) == 0)
        continue;
      const auto best = static_cast<std::size_t>(std::fmod(strongest.at<double>(y, x), 4294967296.0));
      const LabPixel &under = ground.at(x, y), &here = look.at(x, y);
      const cv::Vec3f whole = mixing(look[best]) - mixing(under), part = mixing(here) - mixing(under);
      const float square = whole.dot(whole);
      float cover = square > 1e-6F ? part.dot(whole) / square : 1.0F;
      if (target.bare[best] != map.ground_bare.at(x, y))  // alpha is all or nothing
        cover = target.bare.at(x, y) != map.ground_bare.at(x, y) ? std::max(cover, 0.5F) : 0.0F;
      cover = std::clamp(cover, 0.0F, 1.0F);
      map.cover.at(x, y) = static_cast<std::uint8_t>(std::lround(cover * 255));
      if (all.at<std::uint8_t>(y, x) == 0 || map.cover.at(x, y) < 128)
        continue;
      const bool laid_on_bare = map.ground_bare.at(x, y) != 0, bare = target.bare[best] != 0;
      map.on.at(x, y) = laid_on_bare ? darker : bare || look[best].l > under.l ? lighter : darker;
      map.ink.at(x, y) = target.wanted[best];
    }
  }
  // Contrast at strokes and elsewhere.
  double drawn = 0, total = 0;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      double square = 0;
      if (x + 1 < width)
        square += squared_step(look.at(x, y), look.at(x + 1, y));
      if (y + 1 < height)
        square += squared_step(look.at(x, y), look.at(x, y + 1));
      total += square;
      if (holes.at<std::uint8_t>(y, x) != 0)
        drawn += square;
    }
  }
  map.drawing_share = total > 0 ? drawn / total : 0;
  if (map.drawing_share < rules.least_drawing_share) {
    map.on = Image<std::uint8_t>(width, height);
    map.cover = Image<std::uint8_t>(width, height);
    map.ground = target.wanted;
    map.ground_bare = target.bare;
  }
  return map;
}

}  // namespace powderplan
