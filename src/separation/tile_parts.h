// Connected parts of a mask, cut into tiles where they are large.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <utility>

#include "raster/bit_mask.h"

namespace powderplan {

// No tile is larger: a row of it and a point on either side are one word.
inline constexpr int largest_tile = BitMask::word_bits - 2;

// Points that hang together: bit i of rows[k] is the point (left + i, top + k).
struct TilePart {
  int left = 0, top = 0;
  int first = 0, end = 0;  // the rows that hold anything
  std::array<BitMask::Word, largest_tile> rows;

  template <class Visit>
  void for_each(Visit&& visit) const {
    for (int k = first; k < end; ++k) {
      for (BitMask::Word bits = rows[static_cast<std::size_t>(k)]; bits != 0; bits &= bits - 1)
        visit(left + std::countr_zero(bits), top + k);
    }
  }
};

namespace parts {

// Takes the part that holds the lowest point of row `first` out of `left`, `rows` rows of a tile.
inline void take_part(BitMask::Word* left, int rows, int first, TilePart& part) {
  using Word = BitMask::Word;
  // All of `of` that hangs together with `seed` in one row.
  const auto filled = [](Word seed, Word of) {
    for (Word grown = seed;; seed = grown) {
      grown = (seed | seed << 1 | seed >> 1) & of;
      if (grown == seed)
        return seed;
    }
  };
  const auto at = [](int row) { return static_cast<std::size_t>(row); };
  std::fill(part.rows.begin(), part.rows.end(), 0);
  part.rows[at(first)] = filled(left[first] & (~left[first] + 1), left[first]);
  part.first = first;
  part.end = first + 1;
  // Down and up in turn until nothing is added.
  for (bool grew = true; grew;) {
    grew = false;
    const auto reach = [&](int row, int from) {
      const Word near = part.rows[at(from)];
      const Word seed = (part.rows[at(row)] | near | near << 1 | near >> 1) & left[row];
      if ((seed & ~part.rows[at(row)]) == 0)
        return;
      part.rows[at(row)] = filled(seed, left[row]);
      grew = true;
    };
    for (int row = part.first + 1; row < rows && part.rows[at(row - 1)] != 0; ++row) {
      reach(row, row - 1);
      if (part.rows[at(row)] != 0)
        part.end = std::max(part.end, row + 1);
    }
    for (int row = part.end - 2; row >= 0 && part.rows[at(row + 1)] != 0; --row) {
      reach(row, row + 1);
      if (part.rows[at(row)] != 0)
        part.first = std::min(part.first, row);
    }
  }
  for (int row = part.first; row < part.end; ++row)
    left[row] &= ~part.rows[at(row)];
}

}  // namespace parts

// Calls visit(part) for each part of the mask in the rows [begin, end): points that hang together, by sides
// or corners, inside one tile of `tile` x `tile` points (at most largest_tile). A part that reaches over
// several tiles is one part in each. The first tiles begin at x = 0 and y = begin.
template <class Visit>
void for_each_part(const BitMask& mask, int tile, int begin, int end, Visit&& visit) {
  TilePart part;
  std::array<BitMask::Word, largest_tile> left;
  for (part.top = begin; part.top < end; part.top += tile) {
    const int rows = std::min(tile, end - part.top);
    for (part.left = 0; part.left < mask.width(); part.left += tile) {
      for (int row = 0; row < rows; ++row)
        left[static_cast<std::size_t>(row)] = mask.bits(part.left, part.top + row, tile);
      for (int row = 0; row < rows; ++row) {
        while (left[static_cast<std::size_t>(row)] != 0) {
          parts::take_part(left.data(), rows, row, part);
          visit(std::as_const(part));
        }
      }
    }
  }
}

}  // namespace powderplan
