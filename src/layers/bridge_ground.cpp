#include "layers/bridge_ground.h"

#include <algorithm>
#include <bit>
#include <opencv2/imgproc.hpp>

#include "parallel.h"
#include "separation/disc_sweep.h"

namespace powderplan {

int holding_points(int width) {
  int points = width * 3 / 4;
  if (points % 2 != width % 2)
    --points;
  return std::max(1, points);
}

BridgeGround parts_of_sheet(const BitMask& open, const WidthRule& rule, int bridge_width, int cell) {
  BridgeGround ground;
  ground.width = bridge_width;
  ground.cell = cell;
  ground.margin = (cells_over(bridge_width + 2, cell) + 1) / 2 * 2 * cell;
  const int margin = ground.margin;
  BitMask sheet = open.inverted().cut_out(
      {-margin, -margin, open.width() + 2 * margin, open.height() + 2 * margin}, true);
  const int holding = holding_points(rule.diameter());
  // The first point of the margin is the first to be numbered.
  ground.places = MaskParts(places_of_disc(sheet, holding), Touching::by_sides);
  for (const cv::Rect& places : ground.places.boxes()) {
    // Round the discs, not only round their places.
    ground.box.emplace_back(places.x - holding / 2, places.y - holding / 2, places.width + holding - 1,
                            places.height + holding - 1);
  }
  return ground;
}

void add_costs(BridgeGround& ground, const BitMask& open, const CellCosts& cost, float for_length) {
  const int cell = ground.cell, frame = ground.margin / cell;
  const int columns = cells_over(open.width(), cell), rows = cells_over(open.height(), cell);
  // The share of each cell that is open, and what closing it costs.
  cv::Mat share =
      cv::Mat::zeros(cells_over(ground.size().height, cell), cells_over(ground.size().width, cell), CV_32F);
  const float of_point = 1.0F / static_cast<float>(cell * cell);
  for_each_row_band(rows, [&](int begin, int end) {
    for (int row = begin; row < end; ++row) {
      auto* to = share.ptr<float>(row + frame) + frame;
      for (int y = row * cell; y < std::min((row + 1) * cell, open.height()); ++y) {
        for (int i = 0; i < open.words(); ++i) {
          for (std::uint64_t word = open.row(y)[i]; word != 0; word &= word - 1)
            to[(i * BitMask::word_bits + std::countr_zero(word)) / cell] += of_point;
        }
      }
    }
  });
  cv::Mat closing = cv::Mat::zeros(share.size(), CV_32F);
  for (int row = 0; row < rows; ++row) {
    const auto* of = share.ptr<float>(row + frame) + frame;
    auto* to = closing.ptr<float>(row + frame) + frame;
    for (int column = 0; column < columns; ++column) {
      if (of[column] > 0)
        to[column] = of[column] * (cost.at(column * cell, row * cell) + for_length);
    }
  }
  const int across = std::max(1, (ground.width + cell / 2) / cell);
  const auto strip = [&](const cv::Mat& values) {
    cv::Mat mean;
    cv::boxFilter(values, mean, CV_32F, {across, across}, {across / 2, across / 2});
    return cv::Mat(mean * ground.width);
  };
  // No step is free, so that ways end, and none is a gain: where closing would better the picture, the
  // bridge is still to be short.
  cv::Mat least = strip(share);
  least = least * (0.2F * for_length) + 1e-3F * for_length;
  ground.cost_of_cell = cv::max(strip(closing), least);
}

}  // namespace powderplan
