#include "report/uneven_cover.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "report/grain_chance.h"
#include "report/grain_form.h"

namespace powderplan {
namespace {

constexpr double pi = std::numbers::pi;

// How a round grain's shadow, with its soft edge, lies over its like: the overlap at distances that are
// evenly spread from 0 to where both end, over the shadow's area; distances in mean radii.
struct Overlaps {
  static constexpr int count = 32;
  double furthest = 0;
  std::array<double, count> share{};
};

Overlaps overlaps_of(const GrainForm& form) {
  const double inner = radius_with_edge(form.edge), outer = inner * (1 + form.edge);
  const auto shadow = [&](double x, double y) {
    return std::clamp((outer - std::sqrt(x * x + y * y)) / (2 * inner * form.edge), 0.0, 1.0);
  };
  Overlaps overlaps;
  overlaps.furthest = 2 * outer;
  constexpr int steps = 40;
  const double step = 2 * outer / steps;
  for (int i = 0; i < Overlaps::count; ++i) {
    const double h = (i + 0.5) / Overlaps::count * overlaps.furthest;
    double sum = 0;
    for (int y = 0; y < steps; ++y) {
      for (int x = 0; x < steps; ++x) {
        const double at_x = (x + 0.5) * step - outer, at_y = (y + 0.5) * step - outer;
        sum += shadow(at_x, at_y) * shadow(at_x - h, at_y);
      }
    }
    overlaps.share[static_cast<std::size_t>(i)] = sum * step * step / pi;
  }
  return overlaps;
}

constexpr double most_over_a_point = 16;
// Of grains that lie on each other, about so much of each is seen: half.
constexpr double seen_of_a_grain = 0.5;

// Near a normal distribution: three even numbers.
float near_normal(std::uint64_t bits) {
  const auto [a, b, c, unused] = four_shares(bits);
  (void)unused;
  return static_cast<float>(2 * (a + b + c - 1.5));
}

}  // namespace

UnevenCover::UnevenCover(const GrainKind& kind, Millimetres pixel)
    : seed_(kind.seed),
      cold_shadow_(pi / 4 * kind.cold.value() * kind.cold.value()),
      spread_(kind.values.spread),
      pixel_(pixel.value()) {
  const GrainForm form = form_of(kind, 0);
  // One of both components of a slope that lies evenly in a disc has half its radius as its deviation.
  slope_ = steepest_slope(kind.values) / 2 *
           std::min(1.0, std::sqrt(seen_of_a_grain * cold_shadow_ * spread_) / pixel_);
  const Overlaps overlaps = overlaps_of(form);
  const double side = pixel_ / form.radius;  // of the area, in radii
  // Larger shadows among smaller ones weigh more: mean of r^4 over the square of the mean of r^2.
  const double sizes = (1 + 2 * size_range * size_range + std::pow(size_range, 4) / 5) /
                       std::pow(1 + size_range * size_range / 3, 2);
  for (std::size_t i = 1; i < log_variance_.size(); ++i) {
    const double over =
        most_over_a_point * static_cast<double>(i) / static_cast<double>(log_variance_.size() - 1);
    double sum = 0;
    for (int j = 0; j < Overlaps::count; ++j) {
      const double h = (j + 0.5) / Overlaps::count * overlaps.furthest, u = std::min(1.0, h / side);
      // A square moved by h in any direction, in the mean: for h up to its side.
      const double stays = 1 - 4 / pi * u + u * u / pi;
      sum += std::expm1(over * overlaps.share[static_cast<std::size_t>(j)]) * stays * 2 * pi * h;
    }
    sum *= sizes * overlaps.furthest / Overlaps::count / (side * side);
    log_variance_[i] = std::log(sum / over);
  }
  log_variance_[0] = log_variance_[1];
}

// Over the square of the mean.
double UnevenCover::variance(double over_a_point) const {
  const std::size_t last = log_variance_.size() - 1;
  const double at = std::min(over_a_point, most_over_a_point) / most_over_a_point * static_cast<double>(last);
  const auto below = std::min(static_cast<std::size_t>(at), last - 1);
  const double share = at - static_cast<double>(below);
  return over_a_point * std::exp(log_variance_[below] * (1 - share) + log_variance_[below + 1] * share);
}

// What follows from a load alone.
UnevenCover::Number UnevenCover::number_for(double covers) const {
  Number number;
  const double over_a_point = covers * spread_;
  number.mean = covers * pixel_ * pixel_ / cold_shadow_;
  // Each grain closes this share of what is open; so the mean of what is left is exp(-over_a_point), and its
  // variance, over the square of the mean, exp(mean taken^2) - 1.
  number.taken = std::min(0.95, std::sqrt(std::log1p(variance(over_a_point)) / number.mean));
  number.all_open = std::exp(-over_a_point + number.mean * number.taken);
  return number;
}

void UnevenCover::lay(const PointRows& rows, int across, std::span<const float> covers,
                      std::span<GrainPoint> points) const {
  float known = -1;
  Number number;
  const auto width = static_cast<std::size_t>(rows.width);
  // Of the pixel's middle.
  const auto place = [&](double first, int point) {
    return std::llround((first + (point + (across - 1) / 2.0) * rows.step) / pixel_ * 4);
  };
  for (int top = 0; top < rows.height; top += across) {
    for (int left = 0; left < rows.width; left += across) {
      const std::uint64_t bits = bits_of_place(seed_, place(rows.left, left), place(rows.top, top));
      GrainPoint pixel;
      if (slope_ > 0) {
        pixel.slope_x = static_cast<float>(slope_) * near_normal(mixed(bits));
        pixel.slope_y = static_cast<float>(slope_) * near_normal(mixed(bits + 1));
      }
      float drawn_for = -1;
      for (int y = top; y < std::min(rows.height, top + across); ++y) {
        for (int x = left; x < std::min(rows.width, left + across); ++x) {
          const std::size_t at = static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x);
          const float cover = covers[at];
          if (cover <= 0)
            continue;
          if (cover != known)
            number = number_for(static_cast<double>(known = cover));
          if (cover != drawn_for) {
            drawn_for = cover;
            pixel.open =
                static_cast<float>(number.all_open * std::pow(1 - number.taken, poisson(number.mean, bits)));
          }
          points[at] = pixel;
        }
      }
    }
  }
}

}  // namespace powderplan
