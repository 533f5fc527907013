// Islands of a stencil's sheet that the picture can do without.
#pragma once

#include <functional>
#include <opencv2/core/types.hpp>
#include <vector>

#include "layers/bridges.h"

namespace powderplan {

// The rise of the predicted colour difference (CIEDE2000) times area when these points get the powder of this
// layer too; `never_open` where that may not be.
using CostOfOpening = std::function<double(const std::vector<cv::Point>& points)>;

struct DroppedIslands {
  std::vector<std::vector<cv::Point>> islands;  // their points, row by row
  double cost_cm2 = 0;                          // of opening them all
  // The bridges that may stay as they are: all but those of these islands, those that end on such a bridge,
  // and those of islands that lose one by this.
  std::vector<Bridge> staying;
};

// An island needs bridges, and these cost the picture something; powder over the island costs something else.
// Finds the islands of the mask for which powder is cheaper than what its bridges cost. Islands larger than
// `largest_dropped_cm2` are always held: they are what the picture is made of.
DroppedIslands islands_to_drop(const BitMask& mask, const BridgedMask& bridged,
                               const CostOfOpening& cost_of_opening, const Grid& grid,
                               const StencilRules& rules);

inline constexpr double never_open = 1e6;
inline constexpr double largest_dropped_cm2 = 1.0;

}  // namespace powderplan
