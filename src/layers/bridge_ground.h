// The ground on which bridges are built: what hangs together, what is loose, and what a strip costs where.
#pragma once

#include <opencv2/core/mat.hpp>
#include <vector>

#include "layers/bridges.h"
#include "layers/cell_costs.h"
#include "layers/mask_parts.h"
#include "separation/width_rule.h"

namespace powderplan {

// All maps have a margin of sheet round the piece, wide enough for a bridge to end on.
struct BridgeGround {
  int margin = 0;             // in points, a whole number of cells
  int width = 1;              // of a bridge, in points
  int cell = 1;               // of the costs, in points
  MaskParts places;           // which part of the sheet a disc of the holding width lies on wholly
  cv::Mat cost_of_cell;       // CV_32F: what a step of one point along a bridge costs there: its whole width,
                              // in the unit of the costs of closing, times points
  std::vector<cv::Rect> box;  // round each part, in points; [0] unused, 1 is the part with the border

  [[nodiscard]] int parts() const { return places.count(); }
  [[nodiscard]] bool in_one_piece() const { return parts() <= 1; }
  [[nodiscard]] cv::Size size() const { return {places.width(), places.height()}; }
  // 0 = on none.
  [[nodiscard]] int part_at(cv::Point p) const { return places.at(p.x, p.y); }
  [[nodiscard]] float cost_at(int x, int y) const { return cost_of_cell.at<float>(y / cell, x / cell); }
};

// Diameter, in points, of the disc that must pass through a web for it to hold: three quarters of the
// width, of the same parity, so that it lies in the middle of the wider one.
int holding_points(int width);

// The parts alone, without costs, on cells of that many points.
BridgeGround parts_of_sheet(const BitMask& open, const WidthRule& rule, int bridge_width, int cell);

// Fills in the costs. `for_length` is added at every point.
void add_costs(BridgeGround& ground, const BitMask& open, const CellCosts& cost, float for_length);

}  // namespace powderplan
