#include "colour/observer.h"

#include <array>
#include <charconv>
#include <cmath>

namespace powderplan {
namespace {

// CIE 1931 2-degree colour-matching functions (CIE 15 table T.4; ISO/CIE 11664-1), 400 to 700 nm.
constexpr std::array<std::array<double, 3>, band_count> matching{{
    {0.01431, 0.000396, 0.06785001},      // 400
    {0.04351, 0.00121, 0.2074},           // 410
    {0.13438, 0.004, 0.6456},             // 420
    {0.2839, 0.0116, 1.3856},             // 430
    {0.34828, 0.023, 1.74706},            // 440
    {0.3362, 0.038, 1.77211},             // 450
    {0.2908, 0.06, 1.6692},               // 460
    {0.19536, 0.09098, 1.28764},          // 470
    {0.09564, 0.13902, 0.8129501},        // 480
    {0.03201, 0.20802, 0.46518},          // 490
    {0.0049, 0.323, 0.272},               // 500
    {0.0093, 0.503, 0.1582},              // 510
    {0.06327, 0.71, 0.07824999},          // 520
    {0.1655, 0.862, 0.04216},             // 530
    {0.2904, 0.954, 0.0203},              // 540
    {0.4334499, 0.9949501, 0.008749999},  // 550
    {0.5945, 0.995, 0.0039},              // 560
    {0.7621, 0.952, 0.0021},              // 570
    {0.9163, 0.87, 0.001650001},          // 580
    {1.0263, 0.757, 0.0011},              // 590
    {1.0622, 0.631, 0.0008},              // 600
    {1.0026, 0.503, 0.00034},             // 610
    {0.8544499, 0.381, 0.00019},          // 620
    {0.6424, 0.265, 4.999999e-05},        // 630
    {0.4479, 0.175, 2e-05},               // 640
    {0.2835, 0.107, 0},                   // 650
    {0.1649, 0.061, 0},                   // 660
    {0.0874, 0.032, 0},                   // 670
    {0.04677, 0.017, 0},                  // 680
    {0.0227, 0.00821, 0},                 // 690
    {0.01135916, 0.004102, 0},            // 700
}};

// CIE daylight components S0, S1, S2 (CIE 15 table T.2, after Judd, MacAdam and Wyszecki 1964).
constexpr std::array<std::array<double, 3>, band_count> daylight_components{{
    {94.8, 43.4, -1.1},  {104.8, 46.3, -0.5}, {105.9, 43.9, -0.7}, {96.8, 37.1, -1.2},  {113.9, 36.7, -2.6},
    {125.6, 35.9, -2.9}, {125.5, 32.6, -2.8}, {121.3, 27.9, -2.6}, {121.3, 24.3, -2.6}, {113.5, 20.1, -1.8},
    {113.1, 16.2, -1.5}, {110.8, 13.2, -1.3}, {106.5, 8.6, -1.2},  {108.8, 6.1, -1.0},  {105.3, 4.2, -0.5},
    {104.4, 1.9, -0.3},  {100.0, 0.0, 0.0},   {96.0, -1.6, 0.2},   {95.1, -3.5, 0.5},   {89.1, -3.5, 2.1},
    {90.5, -5.8, 3.2},   {90.3, -7.2, 4.1},   {88.4, -8.6, 4.7},   {84.0, -9.5, 5.1},   {85.1, -10.9, 6.7},
    {81.9, -10.7, 7.3},  {82.6, -12.0, 8.6},  {84.9, -14.0, 9.8},  {81.3, -13.6, 10.2}, {71.9, -12.0, 8.3},
    {74.3, -13.3, 9.6},
}};

// The constant c2 of Planck's law changed in 1968: a daylight named for 6500 K on the old scale is
// at 6504 K now (CIE 15 3.1).
constexpr double old_kelvin = 1.4388 / 1.4380;

// CIE 15 (3.3), (3.4): chromaticity of daylight of a correlated colour temperature.
double daylight_x(double t) {
  const double u = 1000.0 / t;
  return t <= 7000 ? -4.6070 * u * u * u + 2.9678 * u * u + 0.09911 * u + 0.244063
                   : -2.0064 * u * u * u + 1.9018 * u * u + 0.24748 * u + 0.237040;
}

}  // namespace

Spectrum daylight(double kelvin) {
  const double x = daylight_x(kelvin);
  const double y = -3.000 * x * x + 2.870 * x - 0.275;
  const double m = 0.0241 + 0.2562 * x - 0.7341 * y;
  const double m1 = (-1.3515 - 1.7703 * x + 5.9114 * y) / m;
  const double m2 = (0.0300 - 31.4424 * x + 30.0717 * y) / m;
  Spectrum power;
  for (std::size_t i = 0; i < band_count; ++i) {
    const auto& s = daylight_components[i];
    power[i] = s[0] + m1 * s[1] + m2 * s[2];
  }
  return power;
}

Spectrum illuminant_d65() {
  return daylight(6500 * old_kelvin);
}
Spectrum illuminant_d50() {
  return daylight(5000 * old_kelvin);
}

Spectrum illuminant_a() {
  // CIE 15 (3.1): a Planckian radiator at 2848 K with c2 = 1.435e7 nm K, 100 at 560 nm.
  Spectrum power;
  for (std::size_t i = 0; i < band_count; ++i) {
    const double nm = band_nm(i);
    constexpr double c2 = 1.435e7, t = 2848;
    power[i] = 100 * std::pow(560 / nm, 5) * (std::exp(c2 / (t * 560)) - 1) / (std::exp(c2 / (t * nm)) - 1);
  }
  return power;
}

std::optional<Spectrum> illuminant_named(std::string_view name) {
  if (name == "D65")
    return illuminant_d65();
  if (name == "D50")
    return illuminant_d50();
  if (name == "A")
    return illuminant_a();
  double kelvin = 0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), kelvin);
  if (error != std::errc{} || std::string_view(end, name.data() + name.size() - end) != "K")
    return std::nullopt;
  if (!(kelvin >= coolest_daylight_k && kelvin <= hottest_daylight_k))
    return std::nullopt;
  return daylight(kelvin);
}

Observer::Observer(const Spectrum& light) {
  std::array<double, 3> sum{};
  for (std::size_t i = 0; i < band_count; ++i) {
    for (std::size_t c = 0; c < 3; ++c)
      sum[c] += light[i] * matching[i][c];
  }
  const Xyz white{sum[0] / sum[1], 1.0, sum[2] / sum[1]};
  for (std::size_t i = 0; i < band_count; ++i) {
    const double share = light[i] / sum[1];
    weights_[i] =
        adapt({share * matching[i][0], share * matching[i][1], share * matching[i][2]}, white, white_d65);
  }
}

Xyz Observer::operator()(const Spectrum& seen) const {
  Xyz total;
  for (std::size_t i = 0; i < band_count; ++i) {
    total.x += weights_[i].x * seen[i];
    total.y += weights_[i].y * seen[i];
    total.z += weights_[i].z * seen[i];
  }
  return total;
}

}  // namespace powderplan
