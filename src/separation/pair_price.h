// What it costs a plan when two powders touch.
#pragma once

#include <cstddef>

namespace powderplan {

// In CIEDE2000, at every point where one lies on the other. Negative: the contact is wished for.
struct PairPrice {
  std::size_t one = 0, other = 0;  // places in Palette::powders
  double price = 0;

  [[nodiscard]] bool wished() const { return price < 0; }
  [[nodiscard]] bool of(std::size_t a, std::size_t b) const {
    return (a == one && b == other) || (a == other && b == one);
  }
  friend bool operator==(const PairPrice&, const PairPrice&) = default;
};

}  // namespace powderplan
