// CIEDE2000 of many pairs, eight at once, in single precision: to leave only a few to the exact one of
// difference.h.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "colour/tristimulus.h"

namespace powderplan {

// Lab and its chroma, rounded.
struct QuickLab {
  float l = 0, a = 0, b = 0, chroma = 0;
};
inline QuickLab to_quick(const Lab& lab) {
  const auto l = static_cast<float>(lab.l), a = static_cast<float>(lab.a), b = static_cast<float>(lab.b);
  return {l, a, b, std::sqrt(a * a + b * b)};
}

// One colour and the eight it is compared with.
inline constexpr std::size_t pairs_at_once = 8;
struct QuickPairs {
  QuickLab one;
  std::array<QuickLab, pairs_at_once> others;
};

// The quick difference is at most this far from the exact one: absolute, and a share of the difference. Holds
// for coordinates up to 300 in one colour and up to `most_quick_coordinate` in the other.
inline constexpr double quick_de00_error = 1e-4;
inline constexpr double quick_de00_share = 2e-4;
inline constexpr double most_quick_coordinate = 10000;

// Of each pair a key: squares of the quick differences compare as the keys do. -1 where the two hues are
// opposite but for 0.6 degrees: there CIEDE2000 jumps, and rounding decides to which side. The place of a
// colour among its eight stands in the lowest bits of its key.
void quick_keys(const QuickPairs* pairs, std::size_t count, std::int32_t* keys);
inline constexpr std::int32_t hues_opposite = -1;
inline constexpr std::int32_t place_bits = pairs_at_once - 1;
float square_of_key(std::int32_t key);

// The colours of these keys that may be nearest by the exact difference have keys up to this one. `keys`
// holds at least one; where all of them are `hues_opposite`, so is the result.
struct QuickWinner {
  std::int32_t least = 0, limit = 0;  // least: the smallest key that is not hues_opposite
  std::size_t at = 0;                 // of the least
  std::size_t open = 0;               // how many keys are up to the limit
};
QuickWinner quick_winner(const std::int32_t* keys, std::size_t count);

}  // namespace powderplan
