// Stress from glasses that shrink differently, against figures worked out by hand from published constants.
#include "glass/expansion.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

// EN 572-1: E = 70 GPa, nu = 0.2 (as quoted in handbooks; the standard itself was not read).
TEST(Expansion, ThreeHundredPpmAreTwentySixMegapascals) {
  // ASTM F144, scope: above about 300 ppm "the glass is likely to fracture". 70 000 * 300e-6 / 0.8 = 26.25.
  const Mismatch mismatch = mismatch_of(9.0e-6, 9.6e-6, Celsius(520));
  EXPECT_NEAR(mismatch.ppm, 300, 1e-6);
  EXPECT_NEAR(mismatch.stress_mpa, 26.3, 0.06);
  EXPECT_EQ(most_mismatch_ppm, 300);
}

TEST(Expansion, ATenMillionthPerKelvinOverFiveHundredKelvins) {
  // 50 ppm; 70 000 * 50e-6 / 0.8 = 4.375.
  const Mismatch mismatch = mismatch_of(9.0e-6, 9.1e-6, Celsius(520));
  EXPECT_NEAR(mismatch.ppm, 50, 1e-6);
  EXPECT_NEAR(mismatch.stress_mpa, 4.4, 0.03);
}

}  // namespace
}  // namespace powderplan
