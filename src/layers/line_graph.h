// A skeleton as a graph: branches between places where lines end or meet, then chains of branches that go
// straight on.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <vector>

#include "raster/image.h"
#include "shape.h"

namespace powderplan {

// Part of a stroke, as long as it goes on. In points of the grid; the middle of the first is (0, 0).
struct Chain {
  std::vector<PointMm> points;
  std::vector<bool> measurable;               // false inside a junction, where a width across says nothing
  bool closed = false;                        // the last point leads to the first
  bool free_start = false, free_end = false;  // ends in nothing, not on another line
};

// `skeleton` holds 1 on lines one point wide, `depth` (CV_32F) how far each point of the strokes is from
// their edge, in points. Branches with a free end that are shorter than the stroke is wide where they leave
// it are left out, unless nothing else is there.
std::vector<Chain> chains_of(const Image<std::uint8_t>& skeleton, const cv::Mat& depth, double most_turn_deg);

}  // namespace powderplan
