#include "report/quick_srgb.h"

#include <algorithm>
#include <array>
#include <cstddef>

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

}  // namespace

LinearRgb quick_linear(const Rgb8& colour) {
  static const std::array<double, 256> table = decoded_codes();
  return {table[colour.r], table[colour.g], table[colour.b]};
}

Rgb8 quick_rgb8(const LinearRgb& colour) {
  static const std::array<std::uint8_t, finest + 1> table = encoded_light();
  const auto code = [](double light) {
    return table[static_cast<std::size_t>(std::clamp(light, 0.0, 1.0) * finest + 0.5)];
  };
  return {code(colour.r), code(colour.g), code(colour.b)};
}

}  // namespace powderplan
