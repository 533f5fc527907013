#include "colour/difference.h"

#include "property.h"

namespace powderplan {
namespace {

Lab any_lab() {
  const double l = any_between(0, 100), a = any_between(-120, 120), b = any_between(-120, 120);
  return {l, a, b};
}

TEST(Ciede2000, IsZeroBetweenEqualColours) {
  holds_always([] {
    const Lab c = any_lab();
    RC_ASSERT(ciede2000(c, c) == 0);
  });
  EXPECT_EQ(ciede2000({0, 0, 0}, {0, 0, 0}), 0);
  EXPECT_EQ(ciede2000({100, 0, 0}, {100, 0, 0}), 0);
}

TEST(Ciede2000, IsTheSameInBothDirectionsAndNeverNegative) {
  holds_always(
      [] {
        const Lab one = any_lab(), two = any_lab();
        const double there = ciede2000(one, two), back = ciede2000(two, one);
        RC_ASSERT(std::isfinite(there));
        RC_ASSERT(there >= 0);
        RC_ASSERT(std::abs(there - back) < 1e-9);
      },
      1000);
}

// Lightness weight at L = 50 is 1 and a neutral has no hue: the difference of two greys is theirs in L.
TEST(Ciede2000, OfGreysAroundFiftyIsTheirDifferenceInLightness) {
  EXPECT_NEAR(ciede2000({49, 0, 0}, {51, 0, 0}), 2.0, 1e-12);
}

TEST(Ciede2000, HasNoTroubleWithANeutralOnOneSide) {
  const Lab grey{50, 0, 0};
  for (int degrees = 0; degrees < 360; degrees += 15) {
    const double h = degrees * 3.14159265358979 / 180;
    const double d = ciede2000(grey, {50, 10 * std::cos(h), 10 * std::sin(h)});
    EXPECT_GT(d, 5);
    EXPECT_LT(d, 13);
  }
}

}  // namespace
}  // namespace powderplan
