// A mask of one bit a point: an eighth of the memory, and what is asked of whole rows is done for 64 points
// at once.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "raster/image.h"

// Named only, so that those who hold masks need no OpenCV.
namespace cv {
class Mat;
template <typename>
class Size_;
template <typename>
class Rect_;
}  // namespace cv

namespace powderplan {

class BitMask {
 public:
  using Word = std::uint64_t;
  static constexpr int word_bits = 64;

  BitMask() = default;
  // All points alike.
  BitMask(int width, int height, bool value = false);
  // What is not 0 is in. The matrix is CV_8U.
  explicit BitMask(const cv::Mat& bytes);
  BitMask(const Image<std::uint8_t>& bytes);
  // CV_8U, 0 and 1.
  [[nodiscard]] cv::Mat bytes() const;

  // The points that are wanted: row_of(y) gives for each row what tells of a column whether it is.
  template <class RowOf>
  static BitMask where(int width, int height, const RowOf& row_of) {
    BitMask mask(width, height);
    for (int y = 0; y < height; ++y) {
      const auto wanted = row_of(y);
      Word* to = mask.row(y);
      for (int x = 0; x < width; ++x)
        to[x / word_bits] |= Word{wanted(x)} << (x % word_bits);
    }
    return mask;
  }

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  [[nodiscard]] cv::Size_<int> size() const;
  [[nodiscard]] bool empty() const { return bits_.empty(); }
  // Of a row: bit x % 64 of word x / 64 is the point x. Bits beyond the width are 0 and must stay so.
  [[nodiscard]] int words() const { return words_; }
  [[nodiscard]] Word* row(int y) { return bits_.data() + index(y); }
  [[nodiscard]] const Word* row(int y) const { return bits_.data() + index(y); }
  // The last word of a row has these bits.
  [[nodiscard]] Word last_bits() const { return ~Word{0} >> (words_ * word_bits - width_); }

  [[nodiscard]] bool at(int x, int y) const { return (row(y)[x / word_bits] >> (x % word_bits) & 1) != 0; }
  void set(int x, int y) { row(y)[x / word_bits] |= Word{1} << (x % word_bits); }
  void clear(int x, int y) { row(y)[x / word_bits] &= ~(Word{1} << (x % word_bits)); }
  // Points from `begin` to before `end` of a row; what lies beside the mask is left out.
  void set_run(int y, int begin, int end);
  void clear_run(int y, int begin, int end);
  // Up to 64 points from x on, which may lie beside the mask, as may y: 0 there.
  [[nodiscard]] Word bits(int x, int y, int count) const;
  void flip(int x, int y, Word bits);

  [[nodiscard]] bool any() const;
  [[nodiscard]] std::size_t count() const;
  [[nodiscard]] BitMask inverted() const;
  // The points of a rectangle; it may reach beyond the mask, where points are `beyond`.
  [[nodiscard]] BitMask cut_out(const cv::Rect_<int>& box, bool beyond = false) const;
  // Both sizes must agree.
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
      for (int w = 0; w < words_; ++w) {
        for (Word left = row(y)[w]; left != 0; left &= left - 1)
          visit(w * word_bits + std::countr_zero(left), y);
      }
    }
  }

  // Calls visit(x, y, left, above) for each point that is not as the one to its left is, or not as the one
  // above it, and says which; row by row. Beyond the mask there is nothing to differ from.
  template <class Visit>
  void for_each_edge(Visit&& visit) const {
    for (int y = 0; y < height_; ++y) {
      for (int w = 0; w < words_; ++w) {
        const Word here = row(y)[w], before = w > 0 ? row(y)[w - 1] >> (word_bits - 1) : here & 1;
        Word left = here ^ (here << 1 | before);
        if (w + 1 == words_)
          left &= last_bits();
        const Word above = y > 0 ? here ^ row(y - 1)[w] : 0;
        for (Word rest = left | above; rest != 0; rest &= rest - 1) {
          const int bit = std::countr_zero(rest);
          visit(w * word_bits + bit, y, (left >> bit & 1) != 0, (above >> bit & 1) != 0);
        }
      }
    }
  }

 private:
  [[nodiscard]] std::size_t index(int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(words_);
  }
  void read_row(int y, const std::uint8_t* bytes);
  void trim();  // clears the bits beyond the width

  int width_ = 0, height_ = 0, words_ = 0;
  std::vector<Word> bits_;
};

// Each point grown to a square that reaches so far from it.
BitMask grown(const BitMask& mask, int reach);
// Points all of whose 8 neighbours are in too, or with `cross` those of whose 4 straight ones: what lies
// beyond the edge counts as in.
BitMask worn(const BitMask& mask, bool cross);

}  // namespace powderplan
