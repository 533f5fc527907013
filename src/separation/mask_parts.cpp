#include "separation/mask_parts.h"

#include <algorithm>

namespace powderplan {

MaskParts parts_of(const cv::Mat& mask, int tile) {
  MaskParts parts;
  parts.first.push_back(0);
  const auto width = static_cast<std::uint32_t>(mask.cols);
  cv::Mat left_to_find = mask.clone();
  auto* left = left_to_find.ptr<std::uint8_t>();
  for (std::uint32_t start = 0; start < mask.total(); ++start) {
    if (left[start] == 0)
      continue;
    const int tile_x = static_cast<int>(start % width) / tile * tile;
    const int tile_y = static_cast<int>(start / width) / tile * tile;
    const int x_end = std::min(tile_x + tile, mask.cols), y_end = std::min(tile_y + tile, mask.rows);
    // The list of the part's points is at the same time the queue of those whose neighbours are to be looked
    // at.
    left[start] = 0;
    parts.points.push_back(start);
    for (std::size_t next = parts.first.back(); next < parts.points.size(); ++next) {
      const int x = static_cast<int>(parts.points[next] % width),
                y = static_cast<int>(parts.points[next] / width);
      for (int ny = std::max(y - 1, tile_y); ny < std::min(y + 2, y_end); ++ny) {
        for (int nx = std::max(x - 1, tile_x); nx < std::min(x + 2, x_end); ++nx) {
          const std::uint32_t point = static_cast<std::uint32_t>(ny) * width + static_cast<std::uint32_t>(nx);
          if (left[point] == 0)
            continue;
          left[point] = 0;
          parts.points.push_back(point);
        }
      }
    }
    parts.first.push_back(parts.points.size());
  }
  return parts;
}

}  // namespace powderplan
