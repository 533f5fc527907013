#include "optics/kubelka_munk.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

// (1 - exp(-x)) / x, 1 at x = 0.
double decay_mean(double x) {
  return x > 1e-12 ? -std::expm1(-x) / x : 1.0;
}

// asinh(q / t) / q, 1/t at q = 0.
double asinh_mean(double q, double t) {
  return q > 1e-9 * t ? std::asinh(q / t) / q : 1.0 / t;
}

// Less than this gets through a layer that hides: a swatch cannot tell such layers apart.
constexpr double least_transmit = 0.01;

}  // namespace

LayerOptics kubelka_munk(double k, double s, double load) {
  // Both numerator and D are divided by b*s*exp(b*s*w)/2: what remains has no 0/0 and no overflow.
  const double beta = std::sqrt(k * (k + 2 * s));
  const double path = 2 * load * decay_mean(2 * beta * load);
  const double d = (k + s) * path + 1 + std::exp(-2 * beta * load);
  return {s * path / d, 2 * std::exp(-beta * load) / d};
}

Slab kubelka_munk(const Spectrum& k, const Spectrum& s, Load load) {
  Slab layer;
  for (std::size_t i = 0; i < band_count; ++i) {
    const LayerOptics band = kubelka_munk(k[i], s[i], load.value());
    layer.reflect_above[i] = layer.reflect_below[i] = band.reflect;
    layer.transmit_down[i] = layer.transmit_up[i] = band.transmit;
  }
  return layer;
}

double reflectance_of_thick_layer(double k, double s) {
  // a - b = 1 / (a + b), and times s to allow s = 0.
  return s / (k + s + std::sqrt(k * (k + 2 * s)));
}

Coefficients kubelka_munk_inverse(double reflect, double transmit, double load) {
  const double r = std::clamp(reflect, 0.0, 0.9999);
  const double t = std::clamp(transmit, 1e-9, 1.0 - r);
  const double half = (1 + r * r - t * t) / 2;  // a * R
  const double q = std::sqrt(std::max(0.0, half * half - r * r));
  const double f = asinh_mean(q, t) / load;
  return {f * std::max(0.0, half - r), f * r};
}

LayerOptics layer_from_two_grounds(double over_light, double over_dark, double light_ground,
                                   double dark_ground) {
  // R(g) = R0 + X g / (1 - R0 g), X = T^2. R0 is where both grounds ask for the same X; the difference
  // falls as R0 grows, so bisection finds it.
  const auto square_t = [](double r0, double over, double ground) {
    return (over - r0) * (1 - r0 * ground) / ground;
  };
  double r0 = over_dark;
  if (dark_ground > 1e-6) {
    double low = 0, high = over_dark;
    for (int i = 0; i < 60; ++i) {
      r0 = (low + high) / 2;
      const double gap = square_t(r0, over_dark, dark_ground) - square_t(r0, over_light, light_ground);
      (gap > 0 ? low : high) = r0;
    }
  }
  r0 = std::clamp(r0, 0.0, 0.9999);
  const double t = std::sqrt(std::max(0.0, square_t(r0, over_light, light_ground)));
  return {r0, std::clamp(t, std::min(least_transmit, 1 - r0), 1 - r0)};
}

}  // namespace powderplan
