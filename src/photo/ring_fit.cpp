#include "photo/ring_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "photo/card.h"
#include "photo/photo_light.h"

namespace powderplan {
namespace {

constexpr std::array<double, 8> blurs{0.06, 0.12, 0.2, 0.32, 0.48, 0.7, 1.0, most_ring_blur};
// Bare paper still surrounds the mark here, even where the supposed centre is a little off.
constexpr double patch_radius = 8.4;
constexpr double coarsest_step = 0.6;

// Lightness of the ideal mark against the distance from its centre, and its derivative.
struct Edge {
  double level, slope;
};
Edge rings_at(double r, double blur, bool eye) {
  Edge sum{1, 0};
  double sign = 1;
  for (std::size_t i = 0; i < (eye ? 4u : 3u); ++i) {
    const double u = (r - mark_radii[i]) / (blur * std::numbers::sqrt2);
    sum.level -= sign * 0.5 * std::erfc(u);
    sum.slope += sign * std::exp(-u * u) / (blur * std::sqrt(2 * std::numbers::pi));
    sign = -sign;
  }
  return sum;
}

// The same, worked out beforehand.
class Rings {
 public:
  Rings(double blur, bool eye) : blur_(blur) {
    for (int i = 0; i <= static_cast<int>(2 * mark_clear / step) + 1; ++i)
      edges_.push_back(rings_at(i * step, blur, eye));
  }
  [[nodiscard]] double blur() const { return blur_; }
  [[nodiscard]] Edge at(double r) const {
    const double place = std::min(r, 2 * mark_clear) / step;
    const std::size_t i = static_cast<std::size_t>(place);
    const double on = place - static_cast<double>(i);
    return {edges_[i].level + on * (edges_[i + 1].level - edges_[i].level),
            edges_[i].slope + on * (edges_[i + 1].slope - edges_[i].slope)};
  }

 private:
  static constexpr double step = 0.01;
  double blur_;
  std::vector<Edge> edges_;
};

const std::vector<Rings>& rings_of(bool eye) {
  const auto all = [](bool with_eye) {
    std::vector<Rings> rings;
    rings.reserve(blurs.size());
    for (const double blur : blurs)
      rings.emplace_back(blur, with_eye);
    return rings;
  };
  static const std::vector<Rings> plain = all(false), eyed = all(true);
  return eye ? eyed : plain;
}

struct PatchPoint {
  double x, y, light;
};
std::vector<PatchPoint> patch_of(const Image<float>& luminance, const FlatView& view, PointMm centre,
                                 double finest_step) {
  const double finest = pixels_per_mm(view.slope_at(centre))[0];
  const double step = std::clamp(1 / std::max(finest, 1e-6), finest_step, coarsest_step);
  const int reach = static_cast<int>(patch_radius / step);
  std::vector<PatchPoint> points;
  for (int j = -reach; j <= reach; ++j) {
    for (int i = -reach; i <= reach; ++i) {
      const double x = i * step, y = j * step;
      float light = 0;
      if (std::hypot(x, y) <= patch_radius &&
          light_at(luminance, view.at({centre.x + x, centre.y + y}), light))
        points.push_back({x, y, static_cast<double>(light)});
    }
  }
  // A mark that leaves the photo is none.
  const double area = std::numbers::pi * patch_radius * patch_radius / (step * step);
  if (static_cast<double>(points.size()) < 0.9 * area)
    points.clear();
  return points;
}

struct Trial {
  double match = 0;
  PointMm step;
  double contrast = 0, base = 0;
};
// Least squares of light = base + slope of light + contrast * (rings moved by a small step).
Trial try_rings(const std::vector<PatchPoint>& patch, PointMm at, const Rings& rings) {
  using Six = Eigen::Matrix<double, 6, 1>;
  Eigen::Matrix<double, 6, 6> normal = Eigen::Matrix<double, 6, 6>::Zero();
  Six right = Six::Zero();
  double square = 0;
  for (const PatchPoint& p : patch) {
    const double dx = p.x - at.x, dy = p.y - at.y, r = std::hypot(dx, dy);
    const Edge edge = rings.at(r);
    const double per_r = r > 1e-9 ? edge.slope / r : 0;
    Six row;
    row << 1, p.x / patch_radius, p.y / patch_radius, edge.level, -per_r * dx, -per_r * dy;
    normal.noalias() += row * row.transpose();
    right += row * p.light;
    square += p.light * p.light;
  }
  const auto unexplained = [&](int terms) {
    const Eigen::VectorXd solved = normal.topLeftCorner(terms, terms).ldlt().solve(right.head(terms));
    return std::max(0.0, square - solved.dot(right.head(terms)));
  };
  const Six all = normal.ldlt().solve(right);
  const Eigen::Vector4d still = normal.topLeftCorner<4, 4>().ldlt().solve(right.head<4>());
  Trial trial;
  trial.contrast = still(3);
  trial.base = still(0);
  const double flat = unexplained(3), ringed = unexplained(4);
  // Where there is no more than the rounding of one grey there is no mark.
  if (!(flat > 1e-9 * square) || !std::isfinite(ringed))
    return trial;
  trial.match = std::copysign(std::sqrt(std::max(0.0, 1 - ringed / flat)), still(3));
  if (all(3) > 0)
    trial.step = {all(4) / all(3), all(5) / all(3)};
  return trial;
}

struct Found {
  Trial trial;
  PointMm at;
  const Rings* rings = nullptr;
};
Found best_blur(const std::vector<PatchPoint>& patch, PointMm at, bool eye) {
  Found best;
  for (const Rings& rings : rings_of(eye)) {
    const Trial trial = try_rings(patch, at, rings);
    if (best.rings == nullptr || trial.match > best.trial.match)
      best = {trial, at, &rings};
  }
  return best;
}
// Moves the rings until they fit best, their blur unchanged.
Found follow(const std::vector<PatchPoint>& patch, Found best) {
  for (int round = 0; round < 8; ++round) {
    PointMm to = best.trial.step;
    const double length = std::hypot(to.x, to.y);
    constexpr double longest = 0.6;  // further than that the rings are not straight lines any more
    if (length > longest)
      to = {to.x * longest / length, to.y * longest / length};
    to = {best.at.x + to.x, best.at.y + to.y};
    const Found next{try_rings(patch, to, *best.rings), to, best.rings};
    if (next.trial.match < best.trial.match)
      break;
    best = next;
    if (length < 0.002)
      break;
  }
  return best;
}
Found settle(const std::vector<PatchPoint>& patch) {
  const Found near = follow(patch, best_blur(patch, {}, false));
  Found best = best_blur(patch, near.at, false);
  // From far off the blur was thought to be more than it is.
  if (best.rings != near.rings)
    best = follow(patch, best);
  return best;
}

}  // namespace

RingFit fit_rings(const Image<float>& luminance, const FlatView& view, PointMm centre, double finest_step) {
  const std::vector<PatchPoint> patch = patch_of(luminance, view, centre, finest_step);
  if (patch.empty())
    return {};
  const Found plain = settle(patch);
  // The eye is small: it does not move the centre, only decides.
  const Found eyed = best_blur(patch, plain.at, true);
  RingFit fit;
  fit.eye_lead = eyed.trial.match - plain.trial.match;
  fit.has_eye = fit.eye_lead > 0;
  const Found& better = fit.has_eye ? eyed : plain;
  fit.match = better.trial.match;
  fit.shift = better.at;
  fit.blur_mm = better.rings->blur();
  fit.black = better.trial.base;
  fit.white = better.trial.base + better.trial.contrast;
  return fit;
}

}  // namespace powderplan
