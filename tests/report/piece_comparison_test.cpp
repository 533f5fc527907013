// What the findings of a comparison mean, in words; and its worst regions.
#include "report/piece_comparison.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

TEST(PowderFinding, InWords) {
  EXPECT_EQ(in_words({0, 1.2, 0.04}), "20 % heavier than planned (\u00b1 8)");
  EXPECT_EQ(in_words({0, 0.75, 0.03}), "25 % lighter than planned (\u00b1 6)");
  EXPECT_EQ(in_words({0, 1.2, 0.001}), "20 % heavier than planned (\u00b1 5)")
      << "a photo is no better than that";
  EXPECT_EQ(in_words({0, 1.2, 0.11}), "as planned, within 22 %");
  EXPECT_EQ(in_words({0, 1.04, 0.001}), "as planned, within 5 %");
  EXPECT_EQ(in_words({0, 1, 0.3}), "the photo does not tell");
  EXPECT_EQ(in_words({0, 3, 0.8}), "the photo does not tell");
}

TEST(PowderFinding, TheScaleSaysWhetherTheHandOrThePowderIsToBlame) {
  const auto weighed = [](double factor, double off_by, double used) {
    return weighed_in_words({0, factor, off_by, used});
  };
  EXPECT_EQ(weighed_in_words({0, 1.2, 0.04}), "") << "nobody wrote it down";
  EXPECT_EQ(weighed(1.2, 0.02, 1.19),
            "19 % more was used than planned: the powder is as strong as the shelf says");
  EXPECT_EQ(
      weighed(1.2, 0.02, 1.01),
      "as much was used as planned: the powder is 19 % stronger than the shelf says; fire a step tile of it");
  EXPECT_EQ(weighed(1, 0.02, 1.25),
            "25 % more was used than planned: the powder is 20 % weaker than the shelf says; fire a step "
            "tile of it");
  EXPECT_EQ(weighed(1, 0.4, 0.8), "20 % less was used than planned") << "the photo does not tell";
}

// Both limits are ours: clear_of, least_told.
TEST(PowderFinding, IsToldBeyondDoubtOnly) {
  constexpr double step = 1e-6;
  EXPECT_FALSE(is_told({0, 1 + least_told - step, 0}));
  EXPECT_TRUE(is_told({0, 1 + least_told + step, 0}));
  EXPECT_TRUE(is_told({0, 1 - least_told - step, 0}));
  EXPECT_FALSE(is_told({0, 1 + clear_of * 0.1 - step, 0.1}));
  EXPECT_TRUE(is_told({0, 1 + clear_of * 0.1 + step, 0.1}));
  EXPECT_FALSE(is_told({0, 2, 2 * not_told + step})) << "the photo does not tell";
  EXPECT_TRUE(is_told({0, 2, 2 * not_told - step}));
}

TEST(WorstRegions, AreThoseThatAreOffMost) {
  PieceComparison comparison;
  comparison.layers = {{0, 0, 0, {{1, 20, 2, 0}, {2, 0.4, 9, 0}, {3, 5, 6, -1}}},
                       {1, 0, 0, {{1, 8, 6, 2}, {2, 1, 7, 0}}}};
  const std::vector<WorstRegion> worst = worst_regions(comparison, 3);
  ASSERT_EQ(worst.size(), 3u);
  EXPECT_EQ(worst[0].layer, 1u);
  EXPECT_EQ(worst[0].region.id, 2);
  EXPECT_EQ(worst[1].layer, 0u) << "of equals the first";
  EXPECT_EQ(worst[1].region.id, 3);
  EXPECT_EQ(worst[2].layer, 1u);
  EXPECT_EQ(worst_regions(comparison, 99).size(), 4u)
      << "what is smaller than a square centimetre is left out";
  EXPECT_TRUE(worst_regions(comparison, 0).empty());
  EXPECT_TRUE(worst_regions({}, 5).empty());
}

}  // namespace
}  // namespace powderplan
