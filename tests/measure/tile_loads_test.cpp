#include "measure/tile_loads.h"

#include <gtest/gtest.h>

#include <cmath>

#include "measure/shelf_for_tiles.h"

namespace powderplan {
namespace {

LightnessWay way_of(const std::string& id, Finish finish = Finish::full) {
  const Palette& shelf = marsh_shelf();
  return {*shelf.find_powder(id), *shelf.find_sheet("white"), *shelf.find_sheet("black"), shelf.glass.density,
          finish};
}

TEST(TileLoads, WhiteIsLighterThanBlack) {
  const Palette& shelf = marsh_shelf();
  const double white = lightness_of(*shelf.find_sheet("white"), shelf.glass.density);
  const double black = lightness_of(*shelf.find_sheet("black"), shelf.glass.density);
  EXPECT_GT(white, 85);
  EXPECT_LT(black, 20);
}

// The way is what both grounds' lightness goes through: black powder on a black sheet adds almost nothing, so
// its whole way is that over white.
TEST(TileLoads, TheWayOfABlackPowderIsTheFallOfTheLightGround) {
  const Palette& shelf = marsh_shelf();
  const double white = lightness_of(*shelf.find_sheet("white"), shelf.glass.density);
  const LightnessWay way = way_of("creek-black");
  const double fall = white - to_lab(shelf.find_powder("creek-black")->over_black).l;
  EXPECT_NEAR(way.way_at(full_load), fall, 4);
}

TEST(TileLoads, DarkPowdersArriveEarlyLightOnesLaterTransparentsNotAtAll) {
  const Load black = way_of("creek-black").last(), white = way_of("saltpan-white").last();
  EXPECT_LT(black, white);
  EXPECT_LT(black, Load(0.25));
  EXPECT_LE(white, full_load);
  for (const Powder& powder : marsh_shelf().powders)
    if (powder.body == Body::transparent) {
      EXPECT_EQ(way_of(powder.id).last(), full_load) << powder.id;
    }
}

TEST(TileLoads, AtTheLastLoadTheStatedShareOfTheWayIsDone) {
  for (const Powder& powder : marsh_shelf().powders) {
    const LightnessWay way = way_of(powder.id);
    const double whole = way.way_at(LightnessWay::deepest);
    if (way.last() < full_load) {
      EXPECT_NEAR(way.way_at(way.last()), LightnessWay::arrived * whole, 1e-9 * whole) << powder.id;
    } else {
      EXPECT_LE(way.way_at(full_load), LightnessWay::arrived * whole) << powder.id;
    }
  }
}

TEST(TileLoads, LoadAndWayAreInverse) {
  const LightnessWay way = way_of("saltpan-white");
  EXPECT_EQ(way.way_at(Load(0)), 0);
  for (const double load : {0.003, 0.05, 0.3, 0.75})
    EXPECT_NEAR(way.load_at(way.way_at(Load(load))).value(), load, 1e-9);
}

TEST(TileLoads, StepsAreEvenAlongTheWayWithinARoundingOfTheScale) {
  const LightnessWay way = way_of("marl-ochre");
  constexpr double area = 9.6, scale = 0.01;
  const auto cells = cell_steps(way, 6, area, Grams(scale));
  ASSERT_TRUE(cells && cells->even);
  ASSERT_EQ(cells->steps.size(), 6u);
  EXPECT_EQ(cells->steps.front(), 0);
  const double each = way.way_at(way.last()) / 5;
  for (std::size_t i = 1; i < 6; ++i) {
    const double load = static_cast<double>(cells->steps[i]) * scale / area;
    const double half_step = way.way_at(Load(load + scale / area / 2)) - way.way_at(Load(load));
    EXPECT_NEAR(way.way_at(Load(load)), each * static_cast<double>(i), half_step * 1.2 + 1e-9) << i;
  }
}

TEST(TileLoads, ALightestCellThatCannotBeWeighedIsRaised) {
  const LightnessWay way = way_of("creek-black");
  const auto coarse = cell_steps(way, 6, 9.6, Grams(0.1));
  ASSERT_TRUE(coarse.has_value());
  EXPECT_FALSE(coarse->even);
  EXPECT_LT(coarse->lightest_wished, least_steps);
  EXPECT_EQ(coarse->steps[1], least_steps);
  for (std::size_t i = 1; i < coarse->steps.size(); ++i)
    EXPECT_GT(coarse->steps[i], coarse->steps[i - 1]);
  EXPECT_FALSE(cell_steps(way, 6, 9.6, Grams(0.5)).has_value());
  EXPECT_TRUE(cell_steps(way, 6, 9.6, Grams(0.01))->even);
}

}  // namespace
}  // namespace powderplan
