#include "colour/difference.h"

#include <cmath>
#include <numbers>

namespace powderplan {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double radians(double degrees) {
  return degrees * pi / 180.0;
}

double seventh_power_share(double c) {
  const double c2 = c * c, c7 = c2 * c2 * c2 * c;
  constexpr double c25_7 = 6103515625.0;  // 25^7
  return std::sqrt(c7 / (c7 + c25_7));
}

// Hue angle in [0, 2 pi); 0 for a neutral, as Sharma, Wu and Dalal set it.
double hue(double a, double b) {
  if (a == 0 && b == 0)
    return 0;
  const double h = std::atan2(b, a);
  return h < 0 ? h + 2 * pi : h;
}

}  // namespace

double ciede2000(const Lab& one, const Lab& two) {
  const double mean_chroma = (std::hypot(one.a, one.b) + std::hypot(two.a, two.b)) / 2;
  const double g = 0.5 * (1 - seventh_power_share(mean_chroma));
  const double a1 = (1 + g) * one.a, a2 = (1 + g) * two.a;
  const double c1 = std::hypot(a1, one.b), c2 = std::hypot(a2, two.b);
  const double h1 = hue(a1, one.b), h2 = hue(a2, two.b);

  const double d_l = two.l - one.l;
  const double d_c = c2 - c1;
  double d_h = 0, h_mean = h1 + h2;
  if (c1 * c2 != 0) {
    d_h = h2 - h1;
    if (std::abs(d_h) > pi) {
      d_h += d_h > 0 ? -2 * pi : 2 * pi;
      h_mean += h_mean < 2 * pi ? 2 * pi : -2 * pi;
    }
    h_mean /= 2;
  }
  const double d_big_h = 2 * std::sqrt(c1 * c2) * std::sin(d_h / 2);

  const double l_mean = (one.l + two.l) / 2;
  const double c_mean = (c1 + c2) / 2;
  const double t = 1 - 0.17 * std::cos(h_mean - radians(30)) + 0.24 * std::cos(2 * h_mean) +
                   0.32 * std::cos(3 * h_mean + radians(6)) - 0.20 * std::cos(4 * h_mean - radians(63));
  const double bump = (h_mean - radians(275)) / radians(25);
  const double d_theta = radians(30) * std::exp(-bump * bump);
  const double r_c = 2 * seventh_power_share(c_mean);
  const double l50 = (l_mean - 50) * (l_mean - 50);
  const double s_l = 1 + 0.015 * l50 / std::sqrt(20 + l50);
  const double s_c = 1 + 0.045 * c_mean;
  const double s_h = 1 + 0.015 * c_mean * t;
  const double r_t = -std::sin(2 * d_theta) * r_c;

  const double l = d_l / s_l, c = d_c / s_c, h = d_big_h / s_h;
  return std::sqrt(l * l + c * c + h * h + r_t * c * h);
}

}  // namespace powderplan
