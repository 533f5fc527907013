#include "layers/island_choice.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

const Grid grid{Millimetres(0.5), 120, 120};  // 60 x 60 mm

// A round opening with two islands: a small one at the left, a larger one at the right.
struct TwoIslands {
  Image<std::uint8_t> open{grid.width, grid.height};
  Image<float> closing{grid.width, grid.height, 10.0F};
  Image<float> opening{grid.width, grid.height, never_open};
  StencilRules rules;

  TwoIslands() {
    for (int y = 0; y < grid.height; ++y) {
      for (int x = 0; x < grid.width; ++x) {
        const bool island = small(x, y) || large(x, y);
        open.at(x, y) = std::hypot(x - 60, y - 60) < 52 && !island ? 1 : 0;
      }
    }
  }
  static bool small(int x, int y) { return std::hypot(x - 38, y - 60) < 5; }
  static bool large(int x, int y) { return std::hypot(x - 80, y - 60) < 16; }
  void powder_costs(float on_small, float on_large) {
    for (int y = 0; y < grid.height; ++y) {
      for (int x = 0; x < grid.width; ++x) {
        if (small(x, y))
          opening.at(x, y) = on_small;
        if (large(x, y))
          opening.at(x, y) = on_large;
      }
    }
  }
  [[nodiscard]] std::vector<std::vector<cv::Point>> dropped() const {
    const auto cost = [&](const std::vector<cv::Point>& points) {
      double sum = 0;
      for (const cv::Point& p : points)
        sum += static_cast<double>(opening.at(p.x, p.y)) * grid.point_cm2();
      return sum;
    };
    return islands_to_drop(open, bridged(open, closing, grid, rules), cost, grid, rules).islands;
  }
};

TEST(IslandsToDrop, TheOneWhosePowderCostsLessThanItsBridge) {
  TwoIslands job;
  job.powder_costs(4, 100);
  const std::vector<std::vector<cv::Point>> dropped = job.dropped();
  ASSERT_EQ(dropped.size(), 1u);
  std::vector<cv::Point> island;
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x) {
      if (TwoIslands::small(x, y))
        island.emplace_back(x, y);
    }
  }
  EXPECT_EQ(dropped[0], island);
}

TEST(IslandsToDrop, NoneWhereBridgesAreCheap) {
  TwoIslands job;
  job.powder_costs(4, 4);
  job.closing = Image<float>(grid.width, grid.height, 0.001F);
  EXPECT_TRUE(job.dropped().empty());
}

TEST(IslandsToDrop, NoneThatMayNotBeOpenedAndNoLargeOne) {
  TwoIslands job;
  job.powder_costs(static_cast<float>(never_open), 0.0001F);  // the large one has 2 cm2
  EXPECT_TRUE(job.dropped().empty());
}

// What reaches the edge of the piece hangs on the border and is no island.
TEST(IslandsToDrop, NothingThatHangsOnTheBorder) {
  Image<std::uint8_t> open(grid.width, grid.height, 1);
  for (int y = 0; y < 20; ++y) {
    for (int x = 50; x < 60; ++x)
      open.at(x, y) = 0;
  }
  BridgedMask held = bridged(open, Image<float>(grid.width, grid.height, 10.0F), grid, {});
  held.bridges.push_back({{{27, 10}, {27, 14}}, 100.0});
  const auto free = [](const std::vector<cv::Point>&) { return 0.0; };
  EXPECT_TRUE(islands_to_drop(open, held, free, grid, {}).islands.empty());
}

}  // namespace
}  // namespace powderplan
