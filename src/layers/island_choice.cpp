#include "layers/island_choice.h"

#include <algorithm>
#include <cmath>

#include "layers/mask_parts.h"

namespace powderplan {
namespace {

// The island nearest to a point within the reach, 0 when there is none.
int island_near(const MaskParts& parts, const std::vector<bool>& island, cv::Point middle, int reach) {
  int found = 0, least = reach * reach + 1;
  for (int y = std::max(0, middle.y - reach); y <= std::min(parts.height() - 1, middle.y + reach); ++y) {
    for (const MaskRun& run : parts.row(y)) {
      if (!island[static_cast<std::size_t>(run.part)])
        continue;
      const int aside = std::max({run.begin - middle.x, middle.x - (run.end - 1), 0});
      const int away = aside * aside + (y - middle.y) * (y - middle.y);
      if (away < least) {
        least = away;
        found = run.part;
      }
    }
  }
  return found;
}

}  // namespace

DroppedIslands islands_to_drop(const BitMask& mask, const BridgedMask& bridged,
                               const CostOfOpening& cost_of_opening, const Grid& grid,
                               const StencilRules& rules) {
  DroppedIslands dropped;
  if (bridged.bridges.empty())
    return dropped;
  const MaskParts parts(mask.inverted(), Touching::by_sides);
  const std::size_t count = parts.boxes().size();
  std::vector<bool> island(count, false);
  for (std::size_t part = 1; part < count; ++part) {
    // What reaches the edge of the piece hangs on the border.
    const cv::Rect& box = parts.boxes()[part];
    island[part] =
        box.x > 0 && box.y > 0 && box.x + box.width < mask.width() && box.y + box.height < mask.height();
  }
  std::vector<double> bridges(count, 0);
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
  const auto most_points =
      static_cast<std::size_t>(std::floor(largest_dropped_cm2 / grid.point_cm2() + 1e-6));
  for (std::size_t part = 1; part < count; ++part) {
    if (!island[part] || bridges[part] <= 0)
      continue;
    const cv::Rect& box = parts.boxes()[part];
    std::vector<cv::Point> points;
    for (int y = box.y; y < box.y + box.height && points.size() <= most_points; ++y) {
      for (const MaskRun& run : parts.row(y)) {
        for (int x = run.begin; x < run.end && run.part == static_cast<int>(part); ++x)
          points.emplace_back(x, y);
      }
    }
    if (points.size() > most_points)
      continue;
    if (const double cost = cost_of_opening(points); cost < bridges[part]) {
      dropped.cost_cm2 += cost;
      dropped.islands.push_back(std::move(points));
    }
  }
  return dropped;
}

}  // namespace powderplan
