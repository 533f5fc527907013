// Which island is held by what: the search for bridges over the ground.
#pragma once

#include <opencv2/core/types.hpp>
#include <vector>

#include "layers/bridge_ground.h"

namespace powderplan {

struct FoundBridge {
  std::vector<cv::Point> line;  // of its middle, in points of the ground's maps
  int from = 0, to = 0;         // the parts that it joins; one that ends on another bridge joins its part
};

// Bridges that hold every part of the sheet; `hold` is how much outline one of them holds, in points.
// Every `stride`-th point is searched, a whole number of cells or one point.
std::vector<FoundBridge> found_bridges(const BridgeGround& ground, BridgePlacement placement, double hold,
                                       int stride);

}  // namespace powderplan
