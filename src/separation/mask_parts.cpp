#include "separation/mask_parts.h"

#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <unordered_map>

namespace powderplan {

MaskParts parts_of(const cv::Mat& mask, int tile) {
  MaskParts parts;
  const int connected = cv::connectedComponents(mask, parts.ids, 8, CV_32S);
  const int across = mask.cols / tile + 1;
  std::unordered_map<std::int64_t, int> renumbered;
  for (int y = 0; y < mask.rows; ++y) {
    int* id = parts.ids.ptr<int>(y);
    for (int x = 0; x < mask.cols; ++x) {
      if (id[x] == 0)
        continue;
      const std::int64_t key = static_cast<std::int64_t>(y / tile * across + x / tile) * connected + id[x];
      const auto [at, added] = renumbered.emplace(key, parts.count);
      if (added)
        ++parts.count;
      id[x] = at->second;
    }
  }
  return parts;
}

}  // namespace powderplan
