#include "layers/outline_match.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>

#include "layers/shape_measures.h"

namespace powderplan {
namespace {

constexpr std::size_t sample_count = 192;
constexpr std::size_t coarse = 3;  // every third sample where that is enough
constexpr double pi = 3.14159265358979323846;

struct Turn {
  double cosine, sine;
  [[nodiscard]] PointMm operator()(PointMm p) const {
    return {p.x * cosine - p.y * sine, p.x * sine + p.y * cosine};
  }
};

Turn turn_by(double angle) {
  return {std::cos(angle), std::sin(angle)};
}

PolygonMm evenly(const PolygonMm& shape, double length) {
  PolygonMm samples;
  std::size_t i = 0;
  double passed = 0;  // of the outline before point i
  for (std::size_t k = 0; k < sample_count; ++k) {
    const double at = length * static_cast<double>(k) / sample_count;
    const auto edge = [&] {
      const PointMm a = shape[i], b = shape[(i + 1) % shape.size()];
      return std::hypot(b.x - a.x, b.y - a.y);
    };
    while (i + 1 < shape.size() && passed + edge() <= at) {
      passed += edge();
      ++i;
    }
    const PointMm a = shape[i], b = shape[(i + 1) % shape.size()];
    const double part = edge() > 0 ? std::min(1.0, (at - passed) / edge()) : 0;
    samples.push_back({a.x + (b.x - a.x) * part, a.y + (b.y - a.y) * part});
  }
  return samples;
}

PointMm nearest_on(const PolygonMm& outline, PointMm p) {
  PointMm nearest = outline.front();
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const PointMm a = outline[i], b = outline[i + 1 == outline.size() ? 0 : i + 1];
    const double ex = b.x - a.x, ey = b.y - a.y, square = ex * ex + ey * ey;
    const double t = square > 0 ? std::clamp(((p.x - a.x) * ex + (p.y - a.y) * ey) / square, 0.0, 1.0) : 0.0;
    const PointMm q{a.x + t * ex, a.y + t * ey};
    const double distance = (p.x - q.x) * (p.x - q.x) + (p.y - q.y) * (p.y - q.y);
    if (distance < least) {
      least = distance;
      nearest = q;
    }
  }
  return nearest;
}

// From every so many points of one outline to the other outline; no farther than `enough` is told exactly.
double farthest_from(const PolygonMm& points, const PolygonMm& outline, double enough,
                     std::size_t every = 1) {
  double most = 0;
  for (std::size_t i = 0; i < points.size() && most <= enough; i += every) {
    const PointMm q = nearest_on(outline, points[i]);
    most = std::max(most, std::hypot(points[i].x - q.x, points[i].y - q.y));
  }
  return most;
}

// The first outline's position relative to the other's centre.
struct Motion {
  double angle = 0;  // radians
  PointMm shift;
};

PolygonMm moved(const PolygonMm& points, const Motion& motion) {
  const Turn turn = turn_by(motion.angle);
  PolygonMm out;
  out.reserve(points.size());
  for (const PointMm& p : points) {
    const PointMm q = turn(p);
    out.push_back({q.x + motion.shift.x, q.y + motion.shift.y});
  }
  return out;
}

// The turn and shift that bring `from` nearest to `to`, point by point, in the least-squares sense.
Motion best_step(const PolygonMm& from, const PolygonMm& to, bool turned) {
  PointMm a{}, b{};
  const double count = static_cast<double>(from.size());
  for (std::size_t i = 0; i < from.size(); ++i) {
    a = {a.x + from[i].x / count, a.y + from[i].y / count};
    b = {b.x + to[i].x / count, b.y + to[i].y / count};
  }
  double cross = 0, dot = 0;
  for (std::size_t i = 0; i < from.size(); ++i) {
    const double ax = from[i].x - a.x, ay = from[i].y - a.y, bx = to[i].x - b.x, by = to[i].y - b.y;
    cross += ax * by - ay * bx;
    dot += ax * bx + ay * by;
  }
  const double angle = turned ? std::atan2(cross, dot) : 0;
  const PointMm turned_middle = turn_by(angle)(a);
  return {angle, {b.x - turned_middle.x, b.y - turned_middle.y}};
}

Motion refined(const MatchOutline& first, const MatchOutline& other, Motion motion, bool turned) {
  constexpr int most_rounds = 20;
  constexpr double still = 5e-4;  // mm
  for (int round = 0; round < most_rounds; ++round) {
    const PolygonMm outline = moved(first.points, motion), samples = moved(first.samples, motion);
    PolygonMm from, to;
    for (std::size_t i = 0; i < sample_count; i += coarse) {
      from.push_back(samples[i]);
      to.push_back(nearest_on(other.points, samples[i]));
      from.push_back(nearest_on(outline, other.samples[i]));
      to.push_back(other.samples[i]);
    }
    const Motion step = best_step(from, to, turned);
    const PointMm shifted = turn_by(step.angle)(motion.shift);
    motion = {motion.angle + step.angle, {shifted.x + step.shift.x, shifted.y + step.shift.y}};
    if (std::abs(step.angle) * first.farthest < still && std::hypot(step.shift.x, step.shift.y) < still)
      break;
  }
  return motion;
}

// Exact up to `enough`.
double distance_after(const MatchOutline& first, const MatchOutline& other, const Motion& motion,
                      double enough) {
  const PolygonMm outline = moved(first.points, motion), samples = moved(first.samples, motion);
  double most = farthest_from(samples, other.points, enough);
  if (most <= enough)
    most = std::max(most, farthest_from(other.samples, outline, enough));
  if (most <= enough)
    most = std::max(most, farthest_from(outline, other.points, enough));
  if (most <= enough)
    most = std::max(most, farthest_from(other.points, outline, enough));
  return most;
}

// Whether refining can bring the outlines together: it moves them by little more than the tolerance.
bool is_near(const MatchOutline& first, const MatchOutline& other, const Motion& motion, double tolerance) {
  const double enough = 4 * tolerance + first.length / sample_count;
  return farthest_from(moved(first.samples, motion), other.points, enough, coarse) <= enough;
}

// Turns at which the samples correlate best, the best first.
std::vector<double> likely_turns(const MatchOutline& first, const MatchOutline& other, double tolerance) {
  using Complex = std::complex<double>;
  constexpr std::size_t n = sample_count, most_turns = 8;
  const auto complex_samples = [](const MatchOutline& outline) {
    std::vector<Complex> z;
    for (const PointMm& p : outline.samples)
      z.emplace_back(p.x, p.y);
    return z;
  };
  const std::vector<Complex> a = complex_samples(first), b = complex_samples(other);
  double power = 0;
  for (std::size_t k = 0; k < n; ++k)
    power += std::norm(a[k]) + std::norm(b[k]);
  std::vector<Complex> correlation(n);
  for (std::size_t start = 0; start < n; ++start) {
    for (std::size_t k = 0; k < n; ++k)
      correlation[start] += std::conj(a[k]) * b[(k + start) % n];
  }
  struct Candidate {
    double strength, angle;
  };
  std::vector<Candidate> candidates;
  for (std::size_t start = 0; start < n; ++start) {
    const double here = std::abs(correlation[start]);
    const double before = std::abs(correlation[(start + n - 1) % n]),
                 after = std::abs(correlation[(start + 1) % n]);
    // The root of the mean square of the distance between points that belong together. Samples of the same
    // outline may stand half a step apart, and an outline with more jags is longer, which shifts them
    // further.
    const double apart = std::sqrt(std::max(0.0, power - 2 * here) / n);
    const double half_step = std::max(first.length, other.length) / n / 2;
    if (here >= before && here >= after && apart <= 4 * tolerance + 2 * half_step)
      candidates.push_back({here, std::arg(correlation[start])});
  }
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const Candidate& x, const Candidate& y) { return x.strength > y.strength; });
  std::vector<double> angles;
  for (std::size_t i = 0; i < std::min(candidates.size(), most_turns); ++i)
    angles.push_back(candidates[i].angle);
  return angles;
}

// Cheap: outlines within the tolerance of each other have areas and reaches that differ by little.
bool may_match(const MatchOutline& first, const MatchOutline& other, double tolerance) {
  const double strip = tolerance * std::max(first.length, other.length) + pi * tolerance * tolerance;
  if (std::abs(first.area - other.area) > strip)
    return false;
  // Their centres may differ by as much as the strip between them pulls.
  const double pull = strip * std::max(first.farthest, other.farthest) / std::min(first.area, other.area);
  return std::abs(first.farthest - other.farthest) <= tolerance + pull;
}

}  // namespace

MatchOutline match_outline(const PolygonMm& shape) {
  MatchOutline outline{.points = shape, .samples = {}, .centre = centre_of(shape)};
  if (signed_area(shape) < 0)
    std::reverse(outline.points.begin(), outline.points.end());
  for (PointMm& p : outline.points) {
    p = {p.x - outline.centre.x, p.y - outline.centre.y};
    outline.farthest = std::max(outline.farthest, std::hypot(p.x, p.y));
  }
  outline.area = std::abs(signed_area(shape));
  outline.length = length_mm(shape);
  outline.samples = evenly(outline.points, outline.length);
  return outline;
}

std::optional<OutlinePose> pose_on(const MatchOutline& first, const MatchOutline& other,
                                   Millimetres tolerance, bool turned) {
  if (!may_match(first, other, tolerance.value()))
    return std::nullopt;
  const auto pose_of = [&](const Motion& motion, double distance) {
    double angle = std::remainder(motion.angle * 180 / pi, 360);
    if (angle <= -180)
      angle += 360;
    return OutlinePose{{other.centre.x + motion.shift.x, other.centre.y + motion.shift.y}, angle, distance};
  };
  // The pose, when it brings the outlines nearer than `most`.
  const auto tried = [&](const Motion& start, bool may_turn, double most) -> std::optional<OutlinePose> {
    if (!is_near(first, other, start, tolerance.value()))
      return std::nullopt;
    const Motion motion = refined(first, other, start, may_turn);
    const double distance = distance_after(first, other, motion, most);
    return distance <= most ? std::optional(pose_of(motion, distance)) : std::nullopt;
  };
  if (const auto unturned = tried({}, false, tolerance.value()))
    return unturned;
  if (!turned)
    return std::nullopt;
  std::optional<OutlinePose> best;
  for (const double angle : likely_turns(first, other, tolerance.value())) {
    if (const auto pose = tried({angle, {}}, true, best ? best->distance : tolerance.value()))
      best = pose;
  }
  return best;
}

PolygonMm placed(const PolygonMm& shape, PointMm centre, double angle_deg) {
  return moved(shape, {angle_deg * pi / 180, centre});
}

}  // namespace powderplan
