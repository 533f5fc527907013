// Connected parts of a mask, cut into tiles where they are large.
#pragma once

#include <opencv2/core/mat.hpp>

namespace powderplan {

struct MaskParts {
  cv::Mat ids;    // CV_32S: 0 outside the mask, else 1 .. count - 1
  int count = 1;  // parts, the outside included
};

// The 8-connected parts of a CV_8U mask; a part that reaches over several tiles of `tile` x `tile` points becomes
// one part in each.
MaskParts parts_of(const cv::Mat& mask, int tile);

}  // namespace powderplan
