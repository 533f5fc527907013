// Bounds of a number that a person may give.
#pragma once

#include <string>

namespace powderplan {

// Both included; `most` may be infinite.
struct Range {
  double least, most;
  // False for NaN.
  [[nodiscard]] constexpr bool holds(double value) const { return value >= least && value <= most; }
};

// "1 to 5000", "at least 1".
std::string text_of(Range range);

}  // namespace powderplan
