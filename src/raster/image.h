// A rectangle of values, row by row, and the millimetre grid that a piece is planned on.
#pragma once

#include <cstddef>
#include <vector>

#include "units.h"

namespace powderplan {

template <class T>
class Image {
 public:
  Image() = default;
  Image(int width, int height, T value = T{})
      : width_(width),
        height_(height),
        values_(static_cast<std::size_t>(width) * static_cast<std::size_t>(height), value) {}

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  [[nodiscard]] std::size_t size() const { return values_.size(); }
  [[nodiscard]] bool empty() const { return values_.empty(); }

  // x to the right, y down, both from 0.
  T& at(int x, int y) { return values_[index(x, y)]; }
  const T& at(int x, int y) const { return values_[index(x, y)]; }
  T& operator[](std::size_t i) { return values_[i]; }
  const T& operator[](std::size_t i) const { return values_[i]; }
  T* row(int y) { return values_.data() + index(0, y); }
  const T* row(int y) const { return values_.data() + index(0, y); }
  T* data() { return values_.data(); }
  const T* data() const { return values_.data(); }

 private:
  [[nodiscard]] std::size_t index(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(x);
  }
  int width_ = 0, height_ = 0;
  std::vector<T> values_;
};

// Square points of one pitch; width * pitch is the width of the piece to within half a pitch.
struct Grid {
  Millimetres pitch;
  int width = 0, height = 0;
  // Area of one point in cm2.
  [[nodiscard]] double point_cm2() const { return pitch.value() * pitch.value() / 100.0; }
  friend bool operator==(const Grid&, const Grid&) = default;
};

// Which point of a fine grid lies in the middle of a point of a coarse one over the same piece; points are
// counted row by row.
constexpr std::size_t middle_of(std::size_t point, const Grid& coarse, const Grid& fine) {
  const auto width = static_cast<std::size_t>(coarse.width);
  const auto place = [](std::size_t at, int of, int on) {
    const std::size_t middle =
        (2 * at + 1) * static_cast<std::size_t>(on) / (2 * static_cast<std::size_t>(of));
    const std::size_t last = static_cast<std::size_t>(on) - 1;
    return middle < last ? middle : last;
  };
  return place(point / width, coarse.height, fine.height) * static_cast<std::size_t>(fine.width) +
         place(point % width, coarse.width, fine.width);
}

}  // namespace powderplan
