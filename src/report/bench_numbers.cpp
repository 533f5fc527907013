#include "report/bench_numbers.h"

#include <fmt/format.h>

#include <cmath>

namespace powderplan {

std::string shown(Grams weight) {
  const double g = weight.value();
  if (g <= 0)
    return "0 g";
  if (weight < least_shown)
    return "under 0.01 g";
  return g < 0.995 ? fmt::format("{:.2f} g", g) : fmt::format("{:.1f} g", g);
}

std::string shown_on_scale(Grams weight, Grams scale) {
  constexpr int most_decimals = 6;
  int decimals = 0;
  double step = scale.value();
  while (decimals < most_decimals && std::abs(step - std::round(step)) > 1e-6 * step) {
    ++decimals;
    step = scale.value() * std::pow(10.0, decimals);
  }
  return fmt::format("{:.{}f} g", weight.value(), decimals);
}

std::string shown(Load load) {
  const double w = load.value();
  return w >= 0.0995 || w == 0 ? fmt::format("{:.2f} g/cm\u00b2", w) : fmt::format("{:.3f} g/cm\u00b2", w);
}

std::string shown(Millimetres length) {
  const double mm = length.value();
  return std::abs(mm) < 9.95 ? fmt::format("{:.1f} mm", mm) : fmt::format("{:.0f} mm", mm);
}

std::string shown_area(double cm2) {
  if (cm2 > 0 && cm2 < 0.05)
    return "under 0.1 cm\u00b2";
  return cm2 < 9.95 ? fmt::format("{:.1f} cm\u00b2", cm2) : fmt::format("{:.0f} cm\u00b2", cm2);
}

std::string shown(Celsius temperature) {
  return fmt::format("{:.0f}", temperature.value());
}

std::string shown_fahrenheit(Celsius temperature) {
  return fmt::format("{:.0f}", temperature.value() * 1.8 + 32);
}

std::string shown_minutes(double minutes) {
  const long whole = std::lround(minutes);
  if (whole < 60)
    return fmt::format("{} min", whole);
  // What takes days is known to the hour at best.
  constexpr long in_whole_hours = 600;
  if (whole >= in_whole_hours)
    return fmt::format("{:.0f} h", static_cast<double>(whole) / 60);
  return whole % 60 == 0 ? fmt::format("{} h", whole / 60)
                         : fmt::format("{} h {} min", whole / 60, whole % 60);
}

std::string shown_difference(double de00) {
  return fmt::format("{:.1f}", de00);
}

}  // namespace powderplan
