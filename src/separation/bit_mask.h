// A mask of one bit a point: what is asked of whole rows is done for 64 points at once.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <vector>

namespace powderplan {

class BitMask {
 public:
  using Word = std::uint64_t;
  static constexpr int word_bits = 64;

  BitMask() = default;
  // All points 0.
  BitMask(int width, int height);
  // Of a CV_8U mask: what is not 0 is in.
  explicit BitMask(const cv::Mat& bytes);
  // CV_8U, 0 and 1.
  [[nodiscard]] cv::Mat bytes() const;

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  // Bit x % 64 of word x / 64 is the point x. Bits beyond the width are 0 and must stay so.
  [[nodiscard]] std::size_t words() const { return words_; }
  [[nodiscard]] Word* row(int y) { return bits_.data() + static_cast<std::size_t>(y) * words_; }
  [[nodiscard]] const Word* row(int y) const { return bits_.data() + static_cast<std::size_t>(y) * words_; }
  // The last word of a row has these bits.
  [[nodiscard]] Word last_bits() const {
    return ~Word{0} >> (words_ * word_bits - static_cast<unsigned>(width_));
  }

  [[nodiscard]] bool at(int x, int y) const { return (row(y)[x / word_bits] >> (x % word_bits) & 1) != 0; }
  void set(int x, int y) { row(y)[x / word_bits] |= Word{1} << (x % word_bits); }
  // Up to 64 points from x on, which may lie beside the mask, as may y: 0 there.
  [[nodiscard]] Word bits(int x, int y, int count) const;
  void flip(int x, int y, Word bits);

  [[nodiscard]] bool any() const;
  [[nodiscard]] BitMask inverted() const;
  BitMask& operator&=(const BitMask& other);
  BitMask& operator|=(const BitMask& other);
  BitMask& operator^=(const BitMask& other);
  BitMask& remove(const BitMask& other);
  // All rows outside [begin, end) become 0.
  void keep_rows(int begin, int end);
  friend bool operator==(const BitMask&, const BitMask&) = default;

  // Calls visit(x, y) for each point that is in, row by row.
  template <class Visit>
  void for_each(Visit&& visit) const {
    for (int y = 0; y < height_; ++y) {
      for (std::size_t w = 0; w < words_; ++w) {
        for (Word left = row(y)[w]; left != 0; left &= left - 1)
          visit(static_cast<int>(w) * word_bits + std::countr_zero(left), y);
      }
    }
  }

 private:
  int width_ = 0, height_ = 0;
  std::size_t words_ = 0;
  std::vector<Word> bits_;
};

// Each point grown to a square that reaches so far from it.
BitMask grown(const BitMask& mask, int reach);
// Points all of whose 8 neighbours are in too, or with `cross` those of whose 4 straight ones: what lies
// beyond the edge counts as in.
BitMask worn(const BitMask& mask, bool cross);

}  // namespace powderplan
