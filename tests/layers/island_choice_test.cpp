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
  [[nodiscard]] Image<std::uint8_t> dropped() const {
    return islands_to_drop(open, bridged(open, closing, grid, rules), opening, grid, rules);
  }
};

TEST(IslandsToDrop, TheOneWhosePowderCostsLessThanItsBridge) {
  TwoIslands job;
  job.powder_costs(4, 100);
  const Image<std::uint8_t> dropped = job.dropped();
  EXPECT_EQ(dropped.at(38, 60), 1);
  EXPECT_EQ(dropped.at(80, 60), 0);
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x)
      ASSERT_EQ(dropped.at(x, y) != 0, TwoIslands::small(x, y)) << x << " " << y;
  }
}

TEST(IslandsToDrop, NoneWhereBridgesAreCheap) {
  TwoIslands job;
  job.powder_costs(4, 4);
  job.closing = Image<float>(grid.width, grid.height, 0.001F);
  const Image<std::uint8_t> dropped = job.dropped();
  EXPECT_TRUE(
      std::all_of(dropped.data(), dropped.data() + dropped.size(), [](std::uint8_t d) { return d == 0; }));
}

TEST(IslandsToDrop, NoneThatMayNotBeOpenedAndNoLargeOne) {
  TwoIslands job;
  job.powder_costs(never_open, 0.0001F);  // the large one has 2 cm2
  const Image<std::uint8_t> dropped = job.dropped();
  EXPECT_TRUE(
      std::all_of(dropped.data(), dropped.data() + dropped.size(), [](std::uint8_t d) { return d == 0; }));
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
  const Image<std::uint8_t> dropped =
      islands_to_drop(open, held, Image<float>(grid.width, grid.height, 0.0F), grid, {});
  EXPECT_TRUE(
      std::all_of(dropped.data(), dropped.data() + dropped.size(), [](std::uint8_t d) { return d == 0; }));
}

}  // namespace
}  // namespace powderplan
