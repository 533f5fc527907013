// The ground on which bridges are built: what hangs together, what is loose, and what a strip costs where.
#pragma once

#include <opencv2/core/mat.hpp>
#include <vector>

#include "layers/bridges.h"
#include "separation/width_rule.h"

namespace powderplan {

// All maps have a margin of sheet round the piece, wide enough for a bridge to end on.
struct BridgeGround {
  int margin = 0;   // in points, even
  int width = 1;    // of a bridge, in points
  cv::Mat part_at;  // CV_32S: which part of the sheet a disc of the holding width lies on wholly; 0 = on none
  cv::Mat cost_at;  // CV_32F: what a step of one point along a bridge costs there: its whole width, in the
                    // unit of cost_of_closing, times points
  std::vector<cv::Rect> box;  // round each part, in points; [0] unused, 1 is the part with the border

  [[nodiscard]] int parts() const { return static_cast<int>(box.size()) - 1; }
  [[nodiscard]] bool in_one_piece() const { return parts() <= 1; }
};

// Diameter, in points, of the disc that must pass through a web for it to hold: three quarters of the
// width, of the same parity, so that it lies in the middle of the wider one.
int holding_points(int width);

// Points of a disc `diameter` wide as a kernel for cv::erode; its anchor is at half, rounded down.
cv::Mat disc_kernel(int diameter);

// The parts alone, without costs.
BridgeGround parts_of_sheet(const cv::Mat& open, const WidthRule& rule, int bridge_width);

// Fills in cost_at. `cost` is CV_32F, of the size of `open`; `for_length` is added to it at every point.
void add_costs(BridgeGround& ground, const cv::Mat& open, const cv::Mat& cost, float for_length);

}  // namespace powderplan
