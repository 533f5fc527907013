// The last small moves of bridges, judged by all that they close.
#pragma once

#include <vector>

#include "layers/bridge_tree.h"
#include "separation/width_rule.h"

namespace powderplan {

// Moves corners and ends of each bridge by a few points, and bridges as a whole, as long as what closes gets
// cheaper: its strip, and the hollows beside it that the width rule fills. Ends stay on their part of the
// sheet, or in their place on another bridge, on which others may end in turn. `open` obeys the rule;
// `for_length` is added to the cost of every point.
void settle(std::vector<FoundBridge>& bridges, const BridgeGround& ground, const BitMask& open,
            const CellCosts& cost, float for_length, const WidthRule& rule, const WidthRule& strip);

// The points that a bridge covers, each once, without the ground's margin and within the piece.
std::vector<cv::Point> covered_by(const std::vector<cv::Point>& line, const WidthRule& strip,
                                  const BridgeGround& ground, const cv::Size& piece);

}  // namespace powderplan
