// A mask with one bit a point: an eighth of the memory, and 64 points at a time.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <opencv2/core/types.hpp>
#include <vector>

#include "raster/image.h"
#include "separation/width_rule.h"

namespace powderplan {

class BitMask {
 public:
  static constexpr int bits = 64;  // of a word

  BitMask() = default;
  BitMask(int width, int height, bool value = false);
  BitMask(const Image<std::uint8_t>& mask);  // set where it is not 0

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  [[nodiscard]] cv::Size size() const { return {width_, height_}; }
  [[nodiscard]] bool empty() const { return values_.empty(); }
  // Of a row; the lowest bit of a word is its leftmost point. Bits beyond the width are 0.
  [[nodiscard]] int words() const { return words_; }
  [[nodiscard]] const std::uint64_t* row(int y) const { return values_.data() + index(y); }
  [[nodiscard]] std::uint64_t* row(int y) { return values_.data() + index(y); }

  [[nodiscard]] bool at(int x, int y) const { return (row(y)[x / bits] >> (x % bits) & 1) != 0; }
  // Points from `begin` to before `end` of a row; what lies beyond the mask is left out.
  void clear(int y, int begin, int end);
  void set(int y, int begin, int end);

  [[nodiscard]] bool any() const;
  [[nodiscard]] std::size_t count() const;
  [[nodiscard]] Image<std::uint8_t> image() const;
  // The points of a rectangle; it may reach beyond the mask, where points are `beyond`.
  [[nodiscard]] BitMask cut_out(const cv::Rect& box, bool beyond = false) const;
  [[nodiscard]] BitMask inverted() const;
  // Both sizes must agree.
  BitMask& operator&=(const BitMask& other);
  BitMask& operator|=(const BitMask& other);
  BitMask& without(const BitMask& other);
  friend bool operator==(const BitMask&, const BitMask&) = default;

  // Calls work(x, y) for every point that is set, row by row.
  template <class Work>
  void for_each(Work&& work) const {
    for (int y = 0; y < height_; ++y) {
      for (int i = 0; i < words_; ++i) {
        for (std::uint64_t word = row(y)[i]; word != 0; word &= word - 1)
          work(i * bits + std::countr_zero(word), y);
      }
    }
  }

 private:
  [[nodiscard]] std::size_t index(int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(words_);
  }
  void trim();  // clears the bits beyond the width

  int width_ = 0, height_ = 0, words_ = 0;
  std::vector<std::uint64_t> values_;
};

// separation/width_rule.h on such masks; the same points to the last one.
class BitWidthRule {
 public:
  explicit BitWidthRule(const WidthRule& rule) : BitWidthRule(rule.disc(), rule.diameter()) {}

  [[nodiscard]] BitMask opened(const BitMask& mask) const;
  [[nodiscard]] BitMask shrunk_to_rule(BitMask mask) const;
  // Where a whole disc, with this point for its anchor, lies on the mask or beyond its edge.
  [[nodiscard]] BitMask places(const BitMask& mask) const;
  // Where a disc lies on any point of the mask, and what discs on such places cover.
  [[nodiscard]] BitMask touching(const BitMask& mask) const;
  [[nodiscard]] BitMask discs_on(const BitMask& places) const;
  // Takes the disc's points away round each of the points.
  void clear_round(BitMask& mask, const std::vector<cv::Point>& points) const;

 private:
  // A row of the disc: so far below the anchor, from so far right of it, so many points.
  struct Row {
    int down = 0, right = 0, length = 0;
  };
  BitWidthRule(const std::vector<cv::Point>& disc, int diameter);
  template <bool both>
  static BitMask swept(const BitMask& mask, const std::vector<Row>& rows, int width, int height);

  int diameter_;
  std::vector<Row> rows_, mirrored_;
};

}  // namespace powderplan
