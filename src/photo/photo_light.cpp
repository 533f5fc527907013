#include "photo/photo_light.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "parallel.h"

namespace powderplan {
namespace {

// Where a place lies among the middles of the pixels.
struct Between {
  int x, y;
  float right, down;  // share of the next pixel
};
bool find_between(int width, int height, PhotoPoint place, Between& found) {
  const double x = place.x - 0.5, y = place.y - 0.5;
  // Written so that places that are not numbers are outside.
  if (!(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1))
    return false;
  found.x = std::min(static_cast<int>(x), std::max(width - 2, 0));
  found.y = std::min(static_cast<int>(y), std::max(height - 2, 0));
  found.right = static_cast<float>(x - found.x);
  found.down = static_cast<float>(y - found.y);
  return width > 1 && height > 1;
}

bool is_clipped(const LinearPixel& p) {
  return std::max({p.r, p.g, p.b}) >= clipped_from;
}

struct Points {
  bool kept = false;
  std::vector<float> r, g, b;  // where they are kept
  LinearRgb sum;
  std::size_t clipped = 0, outside = 0, all = 0;
};

void take(const Image<LinearPixel>& photo, PhotoPoint place, Points& points) {
  ++points.all;
  Between at{};
  if (!find_between(photo.width(), photo.height(), place, at)) {
    ++points.outside;
    return;
  }
  const LinearPixel* upper = photo.row(at.y) + at.x;
  const LinearPixel* lower = photo.row(at.y + 1) + at.x;
  if (std::min({upper[0].alpha, upper[1].alpha, lower[0].alpha, lower[1].alpha}) < 1) {
    ++points.outside;
    return;
  }
  if (is_clipped(upper[0]) || is_clipped(upper[1]) || is_clipped(lower[0]) || is_clipped(lower[1]))
    ++points.clipped;
  const auto mixed = [&](float LinearPixel::*channel) {
    const float above = upper[0].*channel + at.right * (upper[1].*channel - upper[0].*channel);
    const float below = lower[0].*channel + at.right * (lower[1].*channel - lower[0].*channel);
    return above + at.down * (below - above);
  };
  const float r = mixed(&LinearPixel::r), g = mixed(&LinearPixel::g), b = mixed(&LinearPixel::b);
  points.sum.r += static_cast<double>(r);
  points.sum.g += static_cast<double>(g);
  points.sum.b += static_cast<double>(b);
  if (points.kept) {
    points.r.push_back(r);
    points.g.push_back(g);
    points.b.push_back(b);
  }
}

double median_of(std::vector<float>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return static_cast<double>(*middle);
}

}  // namespace

Image<float> luminance_of(const Image<LinearPixel>& photo) {
  Image<float> out(photo.width(), photo.height());
  for_each_row_band(photo.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      const LinearPixel* from = photo.row(y);
      float* to = out.row(y);
      for (int x = 0; x < photo.width(); ++x)  // IEC 61966-2-1
        to[x] = std::max(0.0f, 0.2126f * from[x].r + 0.7152f * from[x].g + 0.0722f * from[x].b);
    }
  });
  return out;
}

bool light_at(const Image<float>& photo, PhotoPoint place, float& value) {
  Between at{};
  if (!find_between(photo.width(), photo.height(), place, at))
    return false;
  const float* upper = photo.row(at.y) + at.x;
  const float* lower = photo.row(at.y + 1) + at.x;
  const float above = upper[0] + at.right * (upper[1] - upper[0]);
  const float below = lower[0] + at.right * (lower[1] - lower[0]);
  value = above + at.down * (below - above);
  return true;
}

PieceLight piece_light(const Image<LinearPixel>& photo, const FlatView& view, const BoxMm& piece,
                       Wanted wanted, int least_across) {
  const PointMm middle{(piece.left + piece.right) / 2, (piece.top + piece.bottom) / 2};
  const PhotoPoint centre = view.at(middle);
  const Slope slope = view.slope_at(middle);
  const double width = piece.right - piece.left, height = piece.bottom - piece.top;
  const auto steps = [&](double dx, double dy) {
    return std::max(least_across, static_cast<int>(std::ceil(std::min(std::hypot(dx, dy), 1000.0))));
  };
  const int across = steps(slope[0][0] * width, slope[1][0] * width);
  const int down = steps(slope[0][1] * height, slope[1][1] * height);
  Points points;
  points.kept = wanted == Wanted::mean_and_median;
  for (int j = 0; j < down; ++j) {
    const double y = ((j + 0.5) / down - 0.5) * height;
    for (int i = 0; i < across; ++i) {
      const double x = ((i + 0.5) / across - 0.5) * width;
      take(photo,
           {centre.x + slope[0][0] * x + slope[0][1] * y, centre.y + slope[1][0] * x + slope[1][1] * y},
           points);
    }
  }
  PieceLight light;
  const double all = static_cast<double>(points.all);
  light.clipped = static_cast<double>(points.clipped) / all;
  light.outside = static_cast<double>(points.outside) / all;
  if (points.outside == points.all)
    return light;
  const double inside = static_cast<double>(points.all - points.outside);
  light.mean = {points.sum.r / inside, points.sum.g / inside, points.sum.b / inside};
  if (points.kept)
    light.median = {median_of(points.r), median_of(points.g), median_of(points.b)};
  return light;
}

}  // namespace powderplan
