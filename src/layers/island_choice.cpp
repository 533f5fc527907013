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

// What a bridge hangs on: up to two islands, by number, and the bridges on which its ends lie.
struct Hold {
  std::vector<int> islands;
  std::vector<std::size_t> bridges;
};

std::size_t nearest_other(const std::vector<Bridge>& bridges, std::size_t but, PointMm p) {
  std::size_t nearest = but;
  for (std::size_t i = 0; i < bridges.size(); ++i) {
    if (i != but &&
        (nearest == but || distance_to(bridges[i].middle, p) < distance_to(bridges[nearest].middle, p)))
      nearest = i;
  }
  return nearest;
}

// `lost` marks the islands that are dropped, or lose a bridge.
std::vector<Bridge> staying_without(std::vector<bool> lost, const std::vector<Hold>& holds,
                                    const std::vector<Bridge>& bridges) {
  std::vector<bool> gone(bridges.size(), false);
  for (bool more = true; more;) {
    more = false;
    for (std::size_t i = 0; i < bridges.size(); ++i) {
      const bool goes = std::any_of(holds[i].islands.begin(), holds[i].islands.end(),
                                    [&](int island) { return lost[static_cast<std::size_t>(island)]; }) ||
                        std::any_of(holds[i].bridges.begin(), holds[i].bridges.end(),
                                    [&](std::size_t k) { return gone[k]; });
      if (!goes || gone[i])
        continue;
      gone[i] = more = true;
      for (const int island : holds[i].islands)
        lost[static_cast<std::size_t>(island)] = true;
    }
  }
  std::vector<Bridge> staying;
  for (std::size_t i = 0; i < bridges.size(); ++i) {
    if (!gone[i])
      staying.push_back({bridges[i].middle, 0});
  }
  return staying;
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
  std::vector<Hold> holds(bridged.bridges.size());
  for (std::size_t i = 0; i < holds.size(); ++i) {
    const Bridge& bridge = bridged.bridges[i];
    int last = 0;
    for (const PointMm& end : {bridge.middle.front(), bridge.middle.back()}) {
      const cv::Point at(static_cast<int>(std::floor(end.x / pitch)),
                         static_cast<int>(std::floor(end.y / pitch)));
      const int id = island_near(parts, island, at, reach);
      if (id != 0 && id != last) {
        bridges[static_cast<std::size_t>(id)] += bridge.error_cm2;
        holds[i].islands.push_back(id);
      }
      if (id == 0 && at.inside({{0, 0}, mask.size()}) && mask.at(at.x, at.y))
        holds[i].bridges.push_back(nearest_other(bridged.bridges, i, end));
      last = id;
    }
  }
  const auto most_points =
      static_cast<std::size_t>(std::floor(largest_dropped_cm2 / grid.point_cm2() + 1e-6));
  std::vector<bool> lost(count, false);
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
      lost[part] = true;
    }
  }
  dropped.staying = staying_without(std::move(lost), holds, bridged.bridges);
  return dropped;
}

}  // namespace powderplan
