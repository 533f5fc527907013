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

}  // namespace powderplan
