// Fired steps of a glass whose k and s are known, computed here by formulas of its own: hyperbolic form of
// Kubelka 1948, the mean over covered and bare ground of Demichel 1924, Saunderson 1942. Shares no code with
// the model that is fitted to them.
#pragma once

#include <array>
#include <cmath>
#include <random>
#include <string>
#include <vector>

namespace known {

using Bands = std::array<double, 31>;

struct Glass {
  std::string name;
  Bands k{}, s{};
  double grain_mm = 0.1;
  double spreads = 1;
};

// Seen out of the mirror direction, for light that is diffuse inside: 4 % outside, 59.6 % inside (n = 1.5).
inline double through_surface(double inside) {
  const double outer = 0.04, n = 1.5;
  // Walsh 1926, Duntley 1942.
  const double n2 = n * n, n4 = n2 * n2;
  const double outside = 0.5 + (n - 1) * (3 * n + 1) / (6 * (n + 1) * (n + 1)) +
                         n2 * (n2 - 1) * (n2 - 1) / std::pow(n2 + 1, 3) * std::log((n - 1) / (n + 1)) -
                         2 * n * n2 * (n2 + 2 * n - 1) / ((n2 + 1) * (n4 - 1)) +
                         8 * n4 * (n4 + 1) / ((n2 + 1) * (n4 - 1) * (n4 - 1)) * std::log(n);
  const double inner = 1 - (1 - outside) / n2;
  return (1 - outer) * (1 - inner) * inside / (1 - inner * inside);
}

inline double over_ground(double k, double s, double w, double ground) {
  if (w <= 0)
    return ground;
  const double a = 1 + k / s, b = std::sqrt(a * a - 1), x = b * s * w;
  const double coth = 1 / std::tanh(x);
  return (1 - ground * (a - b * coth)) / (a - ground + b * coth);
}

// Fired to a full fuse: grains lie flush, with 4^(1/3) times their shadow.
inline Bands seen(const Glass& glass, double load, const Bands& ground_inside) {
  const double one_cover = 2.0 / 3.0 * 2.5 * glass.grain_mm / 10;
  const double cover = 1 - std::exp(-std::cbrt(4.0) * glass.spreads * load / one_cover);
  Bands out{};
  for (std::size_t b = 0; b < out.size(); ++b) {
    const double bare = through_surface(ground_inside[b]);
    if (load <= 0) {
      out[b] = bare;
      continue;
    }
    const double on = through_surface(over_ground(glass.k[b], glass.s[b], load / cover, ground_inside[b]));
    out[b] = cover * on + (1 - cover) * bare;
  }
  return out;
}

// Made-up glasses: one to three absorption bands 60 to 200 nm wide on a floor, scattering that falls with the
// wavelength.
inline Glass made_up(unsigned seed, bool opalescent) {
  std::mt19937 random(seed);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967295.0;
  };
  Glass glass;
  glass.name = (opalescent ? "opalescent " : "transparent ") + std::to_string(seed);
  glass.grain_mm = between(0.07, 0.15);
  glass.spreads = between(0.75, 1.3);
  const int peaks = 1 + static_cast<int>(between(0, 2.99));
  const double floor = std::exp(between(std::log(0.02), std::log(0.4)));
  glass.k.fill(floor);
  for (int p = 0; p < peaks; ++p) {
    const double at = between(380, 720), width = between(60, 200) / 2.355;
    const double height = std::exp(between(std::log(0.5), std::log(opalescent ? 40 : 15)));
    for (std::size_t b = 0; b < glass.k.size(); ++b) {
      const double off = (400 + 10.0 * static_cast<double>(b) - at) / width;
      glass.k[b] += height * std::exp(-off * off / 2);
    }
  }
  const double s0 =
      std::exp(opalescent ? between(std::log(3), std::log(40)) : between(std::log(0.02), std::log(0.6)));
  const double fall = between(0, 1.5);
  for (std::size_t b = 0; b < glass.s.size(); ++b)
    glass.s[b] = s0 * std::pow(550.0 / (400 + 10.0 * static_cast<double>(b)), fall);
  return glass;
}

}  // namespace known
