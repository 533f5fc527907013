// What the hand lays: the area of lines on the grid.
#include <algorithm>
#include <cmath>

#include "layers/line_paths.h"

namespace powderplan {
namespace {

double distance(const PointMm& a, const PointMm& b) {
  return std::hypot(a.x - b.x, a.y - b.y);
}

// The share of a unit square that lies behind a straight edge: `depth` is how far its middle does, cosine and
// sine (not negative) are those of the edge's normal. Exact: the square seen along the edge is a box of one
// width smeared by one of the other.
double share_behind(double depth, double cosine, double sine) {
  const double wide = std::max(cosine, sine), narrow = std::min(cosine, sine);
  const double far = std::abs(depth);
  double over_half = 0.5;
  if (far <= (wide - narrow) / 2) {
    over_half = far / wide;
  } else if (far < (wide + narrow) / 2) {
    const double left = (wide + narrow) / 2 - far;
    over_half = 0.5 - left * left / (2 * wide * narrow);
  }
  return depth >= 0 ? 0.5 + over_half : 0.5 - over_half;
}

}  // namespace

Image<std::uint16_t> drawn(const LinePlan& plan, const Grid& grid, const LineRules& rules) {
  Image<std::uint16_t> amount(grid.width, grid.height);
  const double pitch = grid.pitch.value();
  // One piece of a line between two points, as wide at either end as it is there. In points of the grid.
  const auto lay = [&](const PointMm& a, const PointMm& b, double radius_a, double radius_b) {
    const double most = std::max(radius_a, radius_b) + 1;
    const int left = std::max(0, static_cast<int>(std::floor(std::min(a.x, b.x) - most)));
    const int right = std::min(grid.width - 1, static_cast<int>(std::ceil(std::max(a.x, b.x) + most)));
    const int top = std::max(0, static_cast<int>(std::floor(std::min(a.y, b.y) - most)));
    const int bottom = std::min(grid.height - 1, static_cast<int>(std::ceil(std::max(a.y, b.y) + most)));
    const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
    for (int y = top; y <= bottom; ++y) {
      for (int x = left; x <= right; ++x) {
        const double share =
            square > 0 ? std::clamp(((x - a.x) * dx + (y - a.y) * dy) / square, 0.0, 1.0) : 0.0;
        const double ox = x - a.x - share * dx, oy = y - a.y - share * dy, away = std::hypot(ox, oy);
        const double radius = radius_a + share * (radius_b - radius_a);
        const double cosine = away > 0 ? std::abs(ox) / away : 1, sine = away > 0 ? std::abs(oy) / away : 0;
        // Behind the near edge and before the far one.
        const double inside = std::max(
            0.0, share_behind(radius - away, cosine, sine) + share_behind(radius + away, cosine, sine) - 1);
        std::uint16_t& here = amount.at(x, y);
        here = std::max(here, static_cast<std::uint16_t>(std::lround(inside * wholly_covered)));
      }
    }
  };
  for (const LinePath& path : plan.paths) {
    for (std::size_t i = 1; i < path.points.size(); ++i) {
      const auto at = [&](std::size_t k) {
        return PointMm{path.points[k].x / pitch - 0.5, path.points[k].y / pitch - 0.5};
      };
      const auto radius = [&](std::size_t k) {
        return std::clamp(path.width_mm[k], rules.least_width.value(), rules.most_width.value()) / pitch / 2;
      };
      // In short pieces, because each looks at the whole rectangle round it.
      const PointMm a = at(i - 1), b = at(i);
      const int pieces = std::max(1, static_cast<int>(std::ceil(distance(a, b) / 16)));
      for (int p = 0; p < pieces; ++p) {
        const double from = p / static_cast<double>(pieces), to = (p + 1) / static_cast<double>(pieces);
        const auto between = [&](double s) { return PointMm{a.x + s * (b.x - a.x), a.y + s * (b.y - a.y)}; };
        const auto wide = [&](double s) { return radius(i - 1) + s * (radius(i) - radius(i - 1)); };
        lay(between(from), between(to), wide(from), wide(to));
      }
    }
  }
  return amount;
}

}  // namespace powderplan
