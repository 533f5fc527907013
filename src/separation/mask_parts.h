// Connected parts of a mask, cut into tiles where they are large.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <span>
#include <vector>

namespace powderplan {

// The points of a mask, grouped by part.
struct MaskParts {
  std::vector<std::uint32_t> points;  // y * width + x
  std::vector<std::size_t> first;     // where each part begins; one more at the end

  [[nodiscard]] std::size_t count() const { return first.size() - 1; }
  [[nodiscard]] std::span<const std::uint32_t> points_of(std::size_t part) const {
    return {points.data() + first[part], first[part + 1] - first[part]};
  }
};

// The parts of a continuous CV_8U mask whose points hang together, by sides or corners, inside one tile of
// `tile` x `tile` points: a part that reaches over several tiles is one part in each.
MaskParts parts_of(const cv::Mat& mask, int tile);

}  // namespace powderplan
