#include "layers/island_choice.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "layers/mask_view.h"

namespace powderplan {
namespace {

// The island nearest to a point within the reach, 0 when there is none.
int island_near(const cv::Mat& island_at, const std::vector<bool>& island, cv::Point middle, int reach) {
  int found = 0, least = reach * reach + 1;
  for (int y = std::max(0, middle.y - reach); y <= std::min(island_at.rows - 1, middle.y + reach); ++y) {
    for (int x = std::max(0, middle.x - reach); x <= std::min(island_at.cols - 1, middle.x + reach); ++x) {
      const int id = island_at.at<int>(y, x);
      const int away = (x - middle.x) * (x - middle.x) + (y - middle.y) * (y - middle.y);
      if (id != 0 && island[static_cast<std::size_t>(id)] && away < least) {
        least = away;
        found = id;
      }
    }
  }
  return found;
}

}  // namespace

Image<std::uint8_t> islands_to_drop(const Image<std::uint8_t>& mask, const BridgedMask& bridged,
                                    const Image<float>& cost_of_opening, const Grid& grid,
                                    const StencilRules& rules) {
  Image<std::uint8_t> dropped(mask.width(), mask.height());
  if (bridged.bridges.empty())
    return dropped;
  cv::Mat parts;
  const int count = cv::connectedComponents(view_of(mask) == 0, parts, 4, CV_32S);
  std::vector<bool> island(static_cast<std::size_t>(count), true);
  island[0] = false;
  std::vector<double> powder(island.size(), 0), area(island.size(), 0), bridges(island.size(), 0);
  for (int y = 0; y < parts.rows; ++y) {
    for (int x = 0; x < parts.cols; ++x) {
      const auto id = static_cast<std::size_t>(parts.at<int>(y, x));
      powder[id] += static_cast<double>(cost_of_opening.at(x, y)) * grid.point_cm2();
      area[id] += grid.point_cm2();
      // What reaches the edge of the piece hangs on the border.
      if (x == 0 || y == 0 || x == parts.cols - 1 || y == parts.rows - 1)
        island[id] = false;
    }
  }
  const double pitch = grid.pitch.value();
  const int reach = static_cast<int>(std::max(rules.bridge, rules.smallest) / grid.pitch) + 2;
  for (const Bridge& bridge : bridged.bridges) {
    int last = 0;
    for (const PointMm& end : {bridge.middle.front(), bridge.middle.back()}) {
      const cv::Point at(static_cast<int>(end.x / pitch), static_cast<int>(end.y / pitch));
      const int id = island_near(parts, island, at, reach);
      if (id != 0 && id != last)
        bridges[static_cast<std::size_t>(id)] += bridge.error_cm2;
      last = id;
    }
  }
  for (int y = 0; y < parts.rows; ++y) {
    for (int x = 0; x < parts.cols; ++x) {
      const auto id = static_cast<std::size_t>(parts.at<int>(y, x));
      if (island[id] && area[id] <= largest_dropped_cm2 && powder[id] < bridges[id])
        dropped.at(x, y) = 1;
    }
  }
  return dropped;
}

}  // namespace powderplan
