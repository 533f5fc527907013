#include "report/quick_srgb.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "step_table.h"

namespace powderplan {
namespace {

constexpr std::size_t finest = 65535;

std::array<double, 256> decoded_codes() {
  std::array<double, 256> table{};
  for (std::size_t i = 0; i < table.size(); ++i)
    table[i] = srgb_decode(static_cast<double>(i) / 255.0);
  return table;
}

std::array<std::uint8_t, finest + 1> encoded_light() {
  std::array<std::uint8_t, finest + 1> table{};
  for (std::size_t i = 0; i < table.size(); ++i) {
    const double light = static_cast<double>(i) / finest;
    table[i] = to_rgb8(LinearRgb{light, light, light}).r;
  }
  return table;
}

// Y of the primaries.
const std::array<double, 3>& shares_of_light() {
  static const std::array<double, 3> shares{to_xyz(LinearRgb{1, 0, 0}).y, to_xyz(LinearRgb{0, 1, 0}).y,
                                            to_xyz(LinearRgb{0, 0, 1}).y};
  return shares;
}

}  // namespace

LinearRgb quick_linear(const Rgb8& colour) {
  static const std::array<double, 256> table = decoded_codes();
  return {table[colour.r], table[colour.g], table[colour.b]};
}

Rgb8 quick_rgb8(const LinearRgb& colour) {
  static const std::array<std::uint8_t, finest + 1> table = encoded_light();
  const auto code = [](double light) {
    // NOLINTNEXTLINE(bugprone-incorrect-roundings): never below 0, and lround is a call for each point
    return table[static_cast<std::size_t>(std::clamp(light, 0.0, 1.0) * finest + 0.5)];
  };
  return {code(colour.r), code(colour.g), code(colour.b)};
}

Rgb8 exact_rgb8(const LinearRgb& colour) {
  static const StepTable table(255, [](double light) { return to_rgb8(LinearRgb{light, light, light}).r; });
  const auto code = [](double light) {
    return static_cast<std::uint8_t>(table(std::clamp(light, 0.0, 1.0)));
  };
  return {code(colour.r), code(colour.g), code(colour.b)};
}

GreyByLightness::GreyByLightness(double least, double share) {
  for (std::size_t i = 0; i < greys_.size(); ++i)
    greys_[i] =
        to_rgb8(to_linear_rgb(to_xyz(Lab{least + share * static_cast<double>(i) / steps_a_lightness, 0, 0})));
}

std::size_t GreyByLightness::step(const Rgb8& colour) {
  const LinearRgb light = quick_linear(colour);
  const auto& [r, g, b] = shares_of_light();
  static const StepTable table(100 * steps_a_lightness, [](double y) {
    return static_cast<std::size_t>(
        std::lround(std::clamp(to_lab(Xyz{0, y, 0}).l, 0.0, 100.0) * steps_a_lightness));
  });
  return table(std::clamp(r * light.r + g * light.g + b * light.b, 0.0, 1.0));
}

}  // namespace powderplan
