#include "optics/levelling.h"

#include <cmath>
#include <numbers>

namespace powderplan {

double depth_factor(double kh) {
  // The difference in the numerator is lost to rounding in a thin film; its series is not.
  const double x = 2 * kh;
  if (x < 0.05)
    return x * x * x / 6 * (1 + x * x / 20) / (std::cosh(x) + 1 + x * x / 2);
  // cosh and sinh are the same number long before they overflow.
  if (x > 60)
    return 1;
  return (std::sinh(x) - x) / (std::cosh(x) + 1 + x * x / 2);
}

double relief_left(Millimetres flow, Millimetres wave) {
  return std::exp(-std::numbers::pi * (flow / wave));
}

double relief_left(Millimetres flow, Millimetres wave, Millimetres depth) {
  return std::exp(-std::numbers::pi * (flow / wave) * depth_factor(2 * std::numbers::pi * (depth / wave)));
}

Millimetres flow_to_level(double left, Millimetres wave) {
  return wave * (-std::log(left) / std::numbers::pi);
}

}  // namespace powderplan
