#include "layers/outline_simplify.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <numbers>
#include <optional>
#include <set>
#include <utility>

namespace powderplan {
namespace {

// Of a vector that neither underflows nor overflows.
double length_of(double dx, double dy) {
  return std::sqrt(dx * dx + dy * dy);
}

double distance_to_line(PointMm p, PointMm a, PointMm b) {
  const double dx = b.x - a.x, dy = b.y - a.y, squared = dx * dx + dy * dy;
  const double along =
      squared > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / squared, 0.0, 1.0) : 0.0;
  return length_of(p.x - a.x - along * dx, p.y - a.y - along * dy);
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
    return fitted();
  }

 private:
  [[nodiscard]] PointMm point(std::size_t i) const { return points_[i % points_.size()]; }

  // The largest distance of the points between two (the second may be counted on beyond the end) from a line.
  [[nodiscard]] double farthest(std::size_t from, std::size_t to, PointMm a, PointMm b) const {
    double most = 0;
    for (std::size_t i = from + 1; i < to; ++i)
      most = std::max(most, distance_to_line(point(i), a, b));
    return most;
  }

  // Corners from kept point to kept point; where there is none, once round from anywhere to find a good place
  // to start, and then from there.
  void choose_corners() {
    std::vector<std::size_t> fixed;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (kept_[i])
        fixed.push_back(i);
    }
    if (fixed.empty()) {
      const std::vector<std::size_t> trial = corners_between(0, points_.size());
      fixed.push_back(trial[trial.size() / 2]);
    }
    for (std::size_t i = 0; i < fixed.size(); ++i) {
      const std::size_t to = i + 1 < fixed.size() ? fixed[i + 1] : fixed[0] + points_.size();
      for (const std::size_t corner : corners_between(fixed[i], to))
        corners_.push_back(corner);
    }
  }

  // The corners of the best line from one point of the chain to a later one, without the latter: no chord
  // leaves a point farther off than the tolerance, and the sum of square distances, with a price for each
  // corner, is least (dynamic programming; Perez and Vidal 1994 in its idea).
  [[nodiscard]] std::vector<std::size_t> corners_between(std::size_t from, std::size_t to) const {
    const std::size_t n = to - from;
    // Sums over the points up to each, for the square distances from any chord in one step. Near the start of
    // the range, to keep the digits.
    const PointMm origin = point(from);
    struct Sums {
      double x = 0, y = 0, xx = 0, xy = 0, yy = 0;
    };
    std::vector<Sums> sums(n + 2);
    for (std::size_t i = 0; i <= n; ++i) {
      const double x = point(from + i).x - origin.x, y = point(from + i).y - origin.y;
      const Sums& s = sums[i];
      sums[i + 1] = {s.x + x, s.y + y, s.xx + x * x, s.xy + x * y, s.yy + y * y};
    }
    const auto square_distances = [&](std::size_t i, std::size_t k) {
      const PointMm a = point(from + i), b = point(from + k);
      const double length = length_of(b.x - a.x, b.y - a.y);
      if (length == 0)
        return 0.0;
      const double nx = (a.y - b.y) / length, ny = (b.x - a.x) / length;
      const double c = nx * (a.x - origin.x) + ny * (a.y - origin.y);
      const Sums &p = sums[i], &q = sums[k + 1];
      return nx * nx * (q.xx - p.xx) + 2 * nx * ny * (q.xy - p.xy) + ny * ny * (q.yy - p.yy) -
             2 * c * (nx * (q.x - p.x) + ny * (q.y - p.y)) + c * c * static_cast<double>(k + 1 - i);
    };
    // On a circle of radius R chords that leave it by s are best if a corner costs (8 R s)^(5/2) / (30 R^2).
    // This hardly depends on R, which is taken as 200 tolerances; with s = 0.6 of the tolerance a chord turns
    // little enough to look round.
    const double price = 23.8 * tolerance_ * tolerance_ * tolerance_;
    std::vector<double> best(n + 1, std::numeric_limits<double>::infinity());
    std::vector<std::size_t> before(n + 1, 0);
    best[0] = 0;
    for (std::size_t i = 0; i < n; ++i) {
      // Directions from here that pass all points so far within the tolerance.
      double low = -std::numbers::pi, high = std::numbers::pi, reference = 0;
      bool any = false;
      constexpr std::size_t longest = 1000;
      for (std::size_t k = i + 1; k <= std::min(n, i + longest); ++k) {
        const double dx = point(from + k).x - point(from + i).x, dy = point(from + k).y - point(from + i).y;
        const double distance = length_of(dx, dy);
        const double angle = std::remainder(std::atan2(dy, dx) - reference, 2 * std::numbers::pi);
        const bool passes = distance <= tolerance_ || (angle >= low && angle <= high);
        // A chord round the whole chain would be none.
        if (passes && !(k - i == points_.size())) {
          const double cost = best[i] + square_distances(i, k) + price;
          if (cost < best[k]) {
            best[k] = cost;
            before[k] = i;
          }
        }
        if (distance > tolerance_) {
          const double slack = std::asin(tolerance_ / distance);
          if (!any) {
            reference = std::atan2(dy, dx);
            low = -slack;
            high = slack;
            any = true;
          } else {
            low = std::max(low, angle - slack);
            high = std::min(high, angle + slack);
          }
          if (low > high)
            break;
        }
      }
    }
    std::vector<std::size_t> corners;
    for (std::size_t k = before[n];; k = before[k]) {
      corners.push_back((from + k) % points_.size());
      if (k == 0)
        break;
    }
    std::reverse(corners.begin(), corners.end());
    return corners;
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
          met && length_of(met->x - before.x, met->y - before.y) <= tolerance_)
        polygon[i] = *met;
    }
    // Where the new lines leave a point too far away, the old corners come back.
    std::vector<bool> back(n, false);
    for (std::size_t i = 0; i < n; ++i) {
      if (farthest(corners_[i], end_of(i), polygon[i], polygon[(i + 1) % n]) > tolerance_)
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
