// Bounds of a number that a person may give.
#pragma once

#include <string>
#include <string_view>

namespace powderplan {

// Both included; `most` may be infinite.
struct Range {
  double least, most;
  std::string_view unit = {};  // as it stands behind the number, e.g. "mm"
  // False for NaN.
  [[nodiscard]] constexpr bool holds(double value) const { return value >= least && value <= most; }
};

// "1 to 5000 mm", "at least 1".
std::string text_of(Range range);

}  // namespace powderplan
