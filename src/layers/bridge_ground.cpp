#include "layers/bridge_ground.h"

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
  cv::Mat stats, centres;
  const int count = cv::connectedComponentsWithStats(places, ground.part_at, stats, centres, 4, CV_32S);
  ground.box.resize(static_cast<std::size_t>(count));
  for (int i = 1; i < count; ++i) {
    // Round the discs, not only round their places.
    ground.box[static_cast<std::size_t>(i)] = {stats.at<int>(i, cv::CC_STAT_LEFT) - holding / 2,
                                               stats.at<int>(i, cv::CC_STAT_TOP) - holding / 2,
                                               stats.at<int>(i, cv::CC_STAT_WIDTH) + holding - 1,
                                               stats.at<int>(i, cv::CC_STAT_HEIGHT) + holding - 1};
  }
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
