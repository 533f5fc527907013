#include "layers/outline_simplify.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace powderplan {
namespace {

double distance_to_line(PointMm p, PointMm a, PointMm b) {
  const double dx = b.x - a.x, dy = b.y - a.y, squared = dx * dx + dy * dy;
  const double along =
      squared > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / squared, 0.0, 1.0) : 0.0;
  return std::hypot(p.x - a.x - along * dx, p.y - a.y - along * dy);
}

// A line through a point, in a direction of length 1.
struct Straight {
  PointMm through, way;
};

class Chain {
 public:
  Chain(const std::vector<PointMm>& points, const std::vector<bool>& kept, double tolerance)
      : points_(points), kept_(kept), tolerance_(tolerance) {}

  PolygonMm followed() {
    choose_corners();
    drop_needless();
    return fitted();
  }

 private:
  [[nodiscard]] PointMm point(std::size_t i) const { return points_[i % points_.size()]; }

  // Whether all points between two (the second may be counted on beyond the end) are near the line.
  [[nodiscard]] std::pair<double, std::size_t> farthest(std::size_t from, std::size_t to, PointMm a,
                                                        PointMm b) const {
    std::pair<double, std::size_t> worst{0, from};
    for (std::size_t i = from + 1; i < to; ++i)
      worst = std::max(worst, {distance_to_line(point(i), a, b), i});
    return worst;
  }

  // Douglas and Peucker 1973, round the closed chain from the kept points, or from two far apart.
  void choose_corners() {
    std::vector<std::size_t> first;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (kept_[i])
        first.push_back(i);
    }
    if (first.size() < 2) {
      std::size_t a = first.empty() ? farthest_from(0) : first[0], b = farthest_from(a);
      first = {std::min(a, b), std::max(a, b)};
    }
    for (std::size_t i = 0; i < first.size(); ++i) {
      const std::size_t from = first[i];
      const std::size_t to = i + 1 < first.size() ? first[i + 1] : first[0] + points_.size();
      corners_.push_back(from);
      split(from, to);
    }
  }

  [[nodiscard]] std::size_t farthest_from(std::size_t i) const {
    std::size_t best = i == 0 ? points_.size() / 2 : 0;
    double most = -1;
    for (std::size_t k = 0; k < points_.size(); ++k) {
      const double d = std::hypot(points_[k].x - points_[i].x, points_[k].y - points_[i].y);
      if (d > most) {
        most = d;
        best = k;
      }
    }
    return best;
  }

  void split(std::size_t from, std::size_t to) {
    const auto [distance, at] = farthest(from, to, point(from), point(to));
    if (distance <= tolerance_)
      return;
    split(from, at);
    corners_.push_back(at);
    split(at, to);
  }

  void drop_needless() {
    for (std::size_t i = 0; i < corners_.size() && corners_.size() > 3;) {
      const std::size_t n = corners_.size();
      const std::size_t before = corners_[(i + n - 1) % n];
      std::size_t after = corners_[(i + 1) % n];
      after += after <= before ? points_.size() : 0;
      if (!kept_[corners_[i] % points_.size()] &&
          farthest(before, after, point(before), point(after)).first <= tolerance_)
        corners_.erase(corners_.begin() + static_cast<std::ptrdiff_t>(i));
      else
        ++i;
    }
  }

  // The line among the points from `from` to `to` that leaves the least sum of distances: least squares,
  // weighted again and again by one over the distance. Where most points lie on one straight line it is that
  // line.
  [[nodiscard]] Straight among(std::size_t from, std::size_t to) const {
    const std::size_t count = to - from + 1;
    std::vector<double> weight(count, 1.0);
    Straight line;
    constexpr int rounds = 8;
    for (int round = 0; round < rounds; ++round) {
      double sum = 0;
      PointMm mean;
      for (std::size_t i = 0; i < count; ++i) {
        sum += weight[i];
        mean.x += weight[i] * point(from + i).x;
        mean.y += weight[i] * point(from + i).y;
      }
      mean = {mean.x / sum, mean.y / sum};
      double xx = 0, xy = 0, yy = 0;
      for (std::size_t i = 0; i < count; ++i) {
        const double x = point(from + i).x - mean.x, y = point(from + i).y - mean.y;
        xx += weight[i] * x * x;
        xy += weight[i] * x * y;
        yy += weight[i] * y * y;
      }
      const double angle = std::atan2(2 * xy, xx - yy) / 2;
      line = {mean, {std::cos(angle), std::sin(angle)}};
      for (std::size_t i = 0; i < count; ++i) {
        const double x = point(from + i).x - mean.x, y = point(from + i).y - mean.y;
        weight[i] = 1 / (std::abs(x * line.way.y - y * line.way.x) + 0.02 * tolerance_);
      }
    }
    return line;
  }

  [[nodiscard]] PolygonMm fitted() const {
    const std::size_t n = corners_.size();
    PolygonMm polygon;
    for (const std::size_t corner : corners_)
      polygon.push_back(point(corner));
    if (n < 3)
      return polygon;
    std::vector<Straight> lines;
    for (std::size_t i = 0; i < n; ++i)
      lines.push_back(among(corners_[i], end_of(i)));
    for (std::size_t i = 0; i < n; ++i) {
      if (kept_[corners_[i] % points_.size()])
        continue;
      const PointMm before = polygon[i];
      if (const auto met = meeting(lines[(i + n - 1) % n], lines[i]);
          met && std::hypot(met->x - before.x, met->y - before.y) <= tolerance_)
        polygon[i] = *met;
    }
    // Where the new lines leave a point too far away, the old corners come back.
    std::vector<bool> back(n, false);
    for (std::size_t i = 0; i < n; ++i) {
      if (farthest(corners_[i], end_of(i), polygon[i], polygon[(i + 1) % n]).first > tolerance_)
        back[i] = back[(i + 1) % n] = true;
    }
    for (std::size_t i = 0; i < n; ++i) {
      if (back[i])
        polygon[i] = point(corners_[i]);
    }
    return polygon;
  }

  [[nodiscard]] std::size_t end_of(std::size_t i) const {
    const std::size_t next = corners_[(i + 1) % corners_.size()];
    return next <= corners_[i] ? next + points_.size() : next;
  }

  static std::optional<PointMm> meeting(const Straight& a, const Straight& b) {
    const double across = a.way.x * b.way.y - a.way.y * b.way.x;
    if (std::abs(across) < 1e-6)
      return std::nullopt;
    const double dx = b.through.x - a.through.x, dy = b.through.y - a.through.y;
    const double along = (dx * b.way.y - dy * b.way.x) / across;
    return PointMm{a.through.x + along * a.way.x, a.through.y + along * a.way.y};
  }

  const std::vector<PointMm>& points_;
  const std::vector<bool>& kept_;
  double tolerance_;
  std::vector<std::size_t> corners_;
};

double turn(PointMm a, PointMm b, PointMm c) {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

bool between(PointMm p, PointMm a, PointMm b) {
  return std::min(a.x, b.x) <= p.x && p.x <= std::max(a.x, b.x) && std::min(a.y, b.y) <= p.y &&
         p.y <= std::max(a.y, b.y);
}

bool meet(PointMm a, PointMm b, PointMm c, PointMm d) {
  const double t1 = turn(a, b, c), t2 = turn(a, b, d), t3 = turn(c, d, a), t4 = turn(c, d, b);
  if (((t1 > 0 && t2 < 0) || (t1 < 0 && t2 > 0)) && ((t3 > 0 && t4 < 0) || (t3 < 0 && t4 > 0)))
    return true;
  return (t1 == 0 && between(c, a, b)) || (t2 == 0 && between(d, a, b)) || (t3 == 0 && between(a, c, d)) ||
         (t4 == 0 && between(b, c, d));
}

}  // namespace

PolygonMm simplified(const std::vector<PointMm>& chain, const std::vector<bool>& kept, double tolerance) {
  return Chain(chain, kept, tolerance).followed();
}

std::vector<std::size_t> entangled(const std::vector<PolygonMm>& polygons) {
  struct Side {
    std::size_t polygon, number;
    PointMm a, b;
  };
  std::set<std::size_t> found;
  std::vector<Side> sides;
  double length = 0;
  for (std::size_t p = 0; p < polygons.size(); ++p) {
    const PolygonMm& polygon = polygons[p];
    if (polygon.size() < 3)
      found.insert(p);
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const PointMm a = polygon[i], b = polygon[(i + 1) % polygon.size()];
      if (a == b)
        found.insert(p);
      sides.push_back({p, i, a, b});
      length += std::max(std::abs(b.x - a.x), std::abs(b.y - a.y));
    }
  }
  if (sides.empty())
    return {};
  // Sides are compared with those in the same cells of a coarse grid, a cell as wide as a side is long on the
  // average.
  const double cell = std::max(length / static_cast<double>(sides.size()), 1e-9);
  std::map<std::pair<std::int64_t, std::int64_t>, std::vector<std::size_t>> cells;
  const auto index = [&](double v) { return static_cast<std::int64_t>(std::floor(v / cell)); };
  for (std::size_t s = 0; s < sides.size(); ++s) {
    const Side& side = sides[s];
    for (std::int64_t y = index(std::min(side.a.y, side.b.y)); y <= index(std::max(side.a.y, side.b.y));
         ++y) {
      for (std::int64_t x = index(std::min(side.a.x, side.b.x)); x <= index(std::max(side.a.x, side.b.x));
           ++x)
        cells[{x, y}].push_back(s);
    }
  }
  for (const auto& [where, inside] : cells) {
    for (std::size_t i = 0; i < inside.size(); ++i) {
      for (std::size_t k = i + 1; k < inside.size(); ++k) {
        const Side &a = sides[inside[i]], &b = sides[inside[k]];
        const std::size_t n = polygons[a.polygon].size();
        const bool neighbours =
            a.polygon == b.polygon && ((a.number + 1) % n == b.number || (b.number + 1) % n == a.number);
        // Neighbours share a corner; they may not fold back onto each other.
        const bool bad = neighbours ? (a.b == b.a ? turn(a.a, a.b, b.b) == 0 && between(b.b, a.a, a.b)
                                                  : turn(b.a, b.b, a.b) == 0 && between(a.b, b.a, b.b))
                                    : meet(a.a, a.b, b.a, b.b);
        if (bad) {
          found.insert(a.polygon);
          found.insert(b.polygon);
        }
      }
    }
  }
  return {found.begin(), found.end()};
}

}  // namespace powderplan
