#include "layers/bridge_ground.h"

#include <numbers>
#include <opencv2/imgproc.hpp>

namespace powderplan {

int holding_points(int width) {
  int points = width * 3 / 4;
  if (points % 2 != width % 2)
    --points;
  return std::max(1, points);
}

cv::Mat disc_kernel(int diameter) {
  const WidthRule disc{Millimetres(diameter), Millimetres(1)};
  cv::Mat kernel = cv::Mat::zeros(diameter, diameter, CV_8U);
  for (const cv::Point& p : disc.disc())
    kernel.at<std::uint8_t>(p.y + diameter / 2, p.x + diameter / 2) = 1;
  return kernel;
}

BridgeGround parts_of_sheet(const cv::Mat& open, const WidthRule& rule, int bridge_width) {
  BridgeGround ground;
  ground.width = bridge_width;
  ground.margin = (bridge_width + 3) / 2 * 2;
  cv::Mat sheet;
  cv::copyMakeBorder(1 - open, sheet, ground.margin, ground.margin, ground.margin, ground.margin,
                     cv::BORDER_CONSTANT, cv::Scalar(1));
  const int holding = holding_points(rule.diameter());
  cv::Mat places;
  cv::erode(sheet, places, disc_kernel(holding), {holding / 2, holding / 2});
  // The first point of the margin is the first to be numbered.
  const int count = cv::connectedComponents(places, ground.part_at, 4, CV_32S);
  // A part's outline is that of its places, and once round the disc (Steiner's formula). Steps along the
  // grid are 4/pi times as long as the line that they follow, on the average over all directions.
  std::vector<double> steps(static_cast<std::size_t>(count), 0);
  const auto compare = [&](int a, int b) {
    if (a != b) {
      ++steps[static_cast<std::size_t>(a)];
      ++steps[static_cast<std::size_t>(b)];
    }
  };
  for (int y = 0; y < places.rows; ++y) {
    const int* row = ground.part_at.ptr<int>(y);
    const int* below = ground.part_at.ptr<int>(std::min(y + 1, places.rows - 1));
    for (int x = 0; x < places.cols; ++x) {
      compare(row[x], row[std::min(x + 1, places.cols - 1)]);
      compare(row[x], below[x]);
    }
  }
  ground.outline.resize(steps.size());
  for (std::size_t i = 1; i < steps.size(); ++i)
    ground.outline[i] = steps[i] * std::numbers::pi / 4 + std::numbers::pi * holding;
  return ground;
}

void add_costs(BridgeGround& ground, const cv::Mat& open, const cv::Mat& cost, float for_length) {
  cv::Mat share, closing;
  open.convertTo(share, CV_32F);
  cv::multiply(cost + for_length, share, closing);
  const auto strip = [&](const cv::Mat& values) {
    cv::Mat wide, mean;
    cv::copyMakeBorder(values, wide, ground.margin, ground.margin, ground.margin, ground.margin,
                       cv::BORDER_CONSTANT, cv::Scalar(0));
    cv::boxFilter(wide, mean, CV_32F, {ground.width, ground.width}, {ground.width / 2, ground.width / 2});
    return cv::Mat(mean * ground.width);
  };
  // No step is free, so that ways end, and none is a gain: where closing would better the picture, the
  // bridge is still to be short.
  cv::Mat least = strip(share);
  least = least * (0.2F * for_length) + 1e-3F * for_length;
  ground.cost_at = cv::max(strip(closing), least);
}

}  // namespace powderplan
