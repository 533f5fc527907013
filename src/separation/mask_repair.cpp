#include "separation/mask_repair.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "separation/mask_parts.h"

namespace powderplan {
namespace {

// Each round mends what the one before left or made; after these the rest is only taken away.
constexpr int most_rounds = 4;
// A long narrow part is decided on piece by piece, each in a tile of this many diameters.
constexpr int tile_diameters = 2;

// How deep each point lies in the mask, in points, counted up to half the rule's diameter: beyond that
// nothing is narrow. Cross and square erosions in turn come near to round.
cv::Mat depth_in(const cv::Mat& mask, int diameter) {
  const cv::Mat cross = cv::getStructuringElement(cv::MORPH_CROSS, {3, 3}),
                square = cv::Mat::ones(3, 3, CV_8U);
  cv::Mat depth = mask.clone(), left = mask.clone();
  for (int i = 1; i < (diameter + 1) / 2; ++i) {
    cv::erode(left, left, i % 2 == 1 ? cross : square);
    depth += left;
  }
  return depth;
}

// Settles all narrow parts of one kind: of the openings (value 1) or of the webs (value 0). Each is given up
// or widened to the rule around its middle line, whichever costs less over the points that change. False when
// there were none.
bool settle(cv::Mat& mask, std::uint8_t value, const cv::Mat& cost_of_opening, const WidthRule& rule) {
  const cv::Mat narrow = value == 1 ? rule.narrow_openings(mask) : rule.narrow_webs(mask);
  const MaskParts parts = parts_of(narrow, tile_diameters * rule.diameter());
  if (parts.count() == 0)
    return false;
  const cv::Mat depth = depth_in(value == 1 ? mask : cv::Mat(1 - mask), rule.diameter());
  cv::Mat deepest;
  cv::dilate(depth, deepest, cv::Mat::ones(3, 3, CV_8U));
  const auto* cost = cost_of_opening.ptr<float>();
  const cv::Mat before = mask.clone();
  const auto* was = before.ptr<std::uint8_t>();
  const float sign = value == 1 ? 1.0F : -1.0F;
  // Marks the points that the part at hand has already counted.
  std::vector<std::uint32_t> counted_for(mask.total(), 0);
  std::vector<std::uint32_t> gained;
  std::vector<std::uint32_t> widened;
  for (std::size_t part = 0; part < parts.count(); ++part) {
    double giving_up = 0, widening = 0;
    gained.clear();
    for (const std::uint32_t point : parts.points_of(part)) {
      giving_up -= sign * cost[point];
      if (depth.data[point] < deepest.data[point])
        continue;  // not on the middle line
      const int x = static_cast<int>(point) % mask.cols, y = static_cast<int>(point) / mask.cols;
      for (const cv::Point& offset : rule.disc()) {
        const int cx = x + offset.x, cy = y + offset.y;
        if (cx < 0 || cy < 0 || cx >= mask.cols || cy >= mask.rows)
          continue;
        const auto at = static_cast<std::uint32_t>(cy * mask.cols + cx);
        if (was[at] == value || counted_for[at] == part + 1)
          continue;
        counted_for[at] = static_cast<std::uint32_t>(part) + 1;
        widening += sign * cost[at];
        gained.push_back(at);
      }
    }
    if (widening < giving_up) {
      widened.insert(widened.end(), gained.begin(), gained.end());
    } else {
      for (const std::uint32_t point : parts.points_of(part))
        mask.data[point] = 1 - value;
    }
  }
  for (const std::uint32_t point : widened)
    mask.data[point] = value;
  return true;
}

}  // namespace

cv::Mat repaired(cv::Mat mask, const cv::Mat& cost_of_opening, const WidthRule& rule) {
  mask = mask.clone();
  for (int round = 0; round < most_rounds; ++round) {
    const bool openings = settle(mask, 1, cost_of_opening, rule);
    const bool webs = settle(mask, 0, cost_of_opening, rule);
    if (!openings && !webs)
      return mask;
  }
  return rule.shrunk_to_rule(rule.closed(rule.opened(mask)));
}

}  // namespace powderplan
