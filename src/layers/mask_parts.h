// Which points of a mask hang together, kept by runs along its rows.
#pragma once

#include <cstddef>
#include <cstdint>
#include <opencv2/core/types.hpp>
#include <span>
#include <vector>

#include "raster/bit_mask.h"

namespace powderplan {

enum class Touching { by_sides, by_corners_too };

// Points from `begin` to before `end` of a row.
struct MaskRun {
  int begin = 0, end = 0;
  int part = 0;
};

class MaskParts {
 public:
  MaskParts() = default;
  MaskParts(const BitMask& mask, Touching touching);

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return static_cast<int>(first_.size()) - 1; }
  // They are numbered from 1 as they are met, row by row.
  [[nodiscard]] int count() const { return static_cast<int>(boxes_.size()) - 1; }
  // From left to right.
  [[nodiscard]] std::span<const MaskRun> row(int y) const {
    const auto at = static_cast<std::size_t>(y);
    return {runs_.data() + first_[at], first_[at + 1] - first_[at]};
  }
  // 0 where the mask is not set.
  [[nodiscard]] int at(int x, int y) const;
  // By number; [0] is unused.
  [[nodiscard]] const std::vector<cv::Rect>& boxes() const { return boxes_; }

 private:
  int width_ = 0;
  std::vector<MaskRun> runs_;
  std::vector<std::size_t> first_{0};  // run of each row, and the end
  std::vector<cv::Rect> boxes_{{}};
};

}  // namespace powderplan
