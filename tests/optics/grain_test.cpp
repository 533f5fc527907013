#include "optics/grain.h"

#include "property.h"

namespace powderplan {
namespace {

TEST(OneCover, IsMassOfASphereOverItsShadow) {
  const double d_cm = 0.01, pi = 3.14159265358979;
  const double mass = 2.5 * pi * d_cm * d_cm * d_cm / 6, shadow = pi * d_cm * d_cm / 4;
  EXPECT_NEAR(load_of_one_cover(Millimetres(0.1)).value(), mass / shadow, 1e-15);
}

TEST(CoveredShare, GoesFromNothingToEverything) {
  const Millimetres grain(0.1);
  EXPECT_EQ(covered_share(Load(0), grain, 1), 0);
  EXPECT_NEAR(covered_share(Load(10), grain, 1), 1, 1e-12);
  EXPECT_LE(covered_share(Load(1e6), grain, 1), 1);
}

TEST(CoveredShare, OfALittlePowderIsItsShadow) {
  const Millimetres grain(0.1);
  const Load little = load_of_one_cover(grain) * 1e-9;
  EXPECT_NEAR(covered_share(little, grain, 1), 1e-9, 1e-17);
}

TEST(CoveredShare, GrowsWithLoadAndSpreadAndFallsWithGrain) {
  holds_always([] {
    const Load load(any_decade_between(1e-4, 0.05));
    const Millimetres grain(any_decade_between(0.02, 1));
    const double spread = any_between(1, 3), share = covered_share(load, grain, spread);
    RC_ASSERT(share > 0 && share <= 1);
    RC_ASSERT(covered_share(load * 1.1, grain, spread) >= share);
    RC_ASSERT(covered_share(load, grain, spread * 1.1) >= share);
    RC_ASSERT(covered_share(load, grain * 1.1, spread) <= share);
  });
}

// Two siftings of half the load cover as much as one of the whole: they fall independently.
TEST(CoveredShare, OfTwoSiftingsIsThatOfTheirSum) {
  const Millimetres grain(0.15);
  const double half = covered_share(Load(0.01), grain, 1.3), whole = covered_share(Load(0.02), grain, 1.3);
  EXPECT_NEAR(1 - (1 - half) * (1 - half), whole, 1e-15);
}

TEST(UnfiredHeight, GrowsWithTheLoad) {
  EXPECT_EQ(unfired_height(Load(0)).value(), 0);
  EXPECT_NEAR(unfired_height(Load(0.5)).value(), 2 * unfired_height(Load(0.25)).value(), 1e-12);
  EXPECT_GT(unfired_height(full_load), Millimetres(3));
}

}  // namespace
}  // namespace powderplan
