// The middle line of a bridge: straight where that hardly costs more.
#pragma once

#include <functional>
#include <opencv2/core/types.hpp>
#include <vector>

#include "layers/bridge_ground.h"

namespace powderplan {

// Where an end of the line may stand.
using MayStand = std::function<bool(cv::Point)>;

// What a bridge along the straight line costs, by the ground's costs.
double cost_of_line(const BridgeGround& ground, cv::Point from, cv::Point to);

// Few straight pieces in place of a way from point to point. A bend is taken only where it saves a twentieth
// of the whole cost; then corners and ends are moved to where the line costs less, the ends only to where
// they may stand.
std::vector<cv::Point> straightened(const BridgeGround& ground, const std::vector<cv::Point>& way,
                                    const MayStand& first_may_stand, const MayStand& last_may_stand);

// The shortest straight line, each end moved to the nearest place where it may stand, in turn.
std::vector<cv::Point> shortened(const BridgeGround& ground, cv::Point first, cv::Point last,
                                 const MayStand& first_may_stand, const MayStand& last_may_stand);

// Every point along the line, each beside the one before: by a side, or, if `by_corner`, also by a corner.
std::vector<cv::Point> points_along(const std::vector<cv::Point>& line, bool by_corner);

}  // namespace powderplan
