#include "measure/palette_entry.h"

#include <fmt/format.h>

namespace powderplan {
namespace {

// Ten numbers a line: 31 in one are not to be read.
std::string listed(const Spectrum& values) {
  std::string text = "[";
  for (std::size_t b = 0; b < band_count; ++b) {
    constexpr std::size_t a_line = 10;
    text += b == 0 ? "" : b % a_line == 0 ? ",\n  " : ", ";
    text += fmt::format("{:.5g}", values[b]);
  }
  return text + "]";
}

std::optional<std::string> listed(const LoadCurve& curve) {
  std::string text;
  for (const LoadPoint& point : curve.points())
    text += fmt::format("{}[{:.5g}, {:.5g}]", text.empty() ? "" : ", ", point.load.value(),
                        point.effective.value());
  if (text.empty())
    return std::nullopt;
  return "[" + text + "]";
}

}  // namespace

std::vector<KeyEdit> palette_entry(const MeasuredPowder& measured) {
  return {{"k", listed(measured.optics.k)},
          {"s", listed(measured.optics.s)},
          {"spreads", fmt::format("{:.3f}", measured.optics.spreads)},
          {"load_curve", listed(measured.optics.curve)},
          {"residual", fmt::format("{:.2f}", measured.residual_de00)},
          {"expected_error", fmt::format("{:.2f}", measured.expected_de00)}};
}

}  // namespace powderplan
