#include "recipe/shelf_reach.h"

#include <algorithm>
#include <limits>
#include <numbers>

#include "colour/difference.h"
#include "parallel.h"
#include "shelf.h"

namespace powderplan {
namespace {

const std::vector<std::size_t> all_five{white, black, red, blue, yellow};

const ShelfReach& reach_of_three() {
  static const ShelfReach reach(small_painter(), all_five, full_load, 3);
  return reach;
}

double brute_de00(const ShelfReach& reach, const Lab& wanted) {
  double least = std::numeric_limits<double>::infinity();
  for (const Lab& colour : reach.colours())
    least = std::min(least, ciede2000(wanted, colour));
  return least;
}

// Of colours within one unit of each other in L*, a* and b* one is kept: near the greys, where CIEDE2000
// stretches a* by one half, that can be this far.
constexpr double cell_de00 = 2.1;

TEST(ShelfReach, HoldsTheBareSheetAndEveryPowderAtTheLargestLoad) {
  const Painter painter = small_painter();
  for (const int most : {1, 2, 3}) {
    const ShelfReach reach(painter, all_five, full_load, most);
    EXPECT_LT(reach.nearest_de00(painter.lab({})), cell_de00) << most;
    for (const std::size_t powder : all_five)
      EXPECT_LT(reach.nearest_de00(painter.lab({{powder, full_load}})), cell_de00) << most << ' ' << powder;
  }
}

// In two orders, what hides most at the bottom and the reverse: so either of two powders can lie on top.
TEST(ShelfReach, HoldsPairsInBothOrders) {
  const Painter painter = small_painter();
  const ShelfReach reach(painter, all_five, full_load, 2);
  for (const std::size_t a : all_five) {
    for (const std::size_t b : all_five) {
      if (a != b) {
        EXPECT_LT(reach.nearest_de00(painter.lab({{a, full_load}, {b, full_load}})), cell_de00)
            << a << ' ' << b;
      }
    }
  }
}

TEST(ShelfReach, FindsEachOfItsOwnColoursExactly) {
  for (const Lab& colour : reach_of_three().colours())
    EXPECT_LT(reach_of_three().nearest_de00(colour), 1e-6);
}

TEST(ShelfReach, IsTheBestOfAllItsColours) {
  const ShelfReach& reach = reach_of_three();
  holds_always([&] {
    const Lab wanted{any_between(0, 100), any_between(-60, 60), any_between(-60, 60)};
    RC_ASSERT(reach.nearest_de00(wanted) == brute_de00(reach, wanted));
  });
}

TEST(ShelfReach, OfFewColoursIsExact) {
  for (const std::vector<std::size_t>& usable : {std::vector<std::size_t>{}, {red}, {white, blue}}) {
    const ShelfReach reach(small_painter(), usable, full_load, 1);
    ASSERT_GE(reach.colours().size(), 1u);
    ASSERT_LE(reach.colours().size(), 1 + 6 * usable.size());
    holds_always([&] {
      const Lab wanted{any_between(0, 100), any_between(-90, 90), any_between(-90, 90)};
      RC_ASSERT(reach.nearest_de00(wanted) == brute_de00(reach, wanted));
    });
  }
}

TEST(ShelfReach, GrowsWithThePowdersOfARecipe) {
  std::size_t before = 0;
  for (const int most : {1, 2, 3}) {
    const ShelfReach reach(small_painter(), all_five, full_load, most);
    EXPECT_GT(reach.colours().size(), before);
    before = reach.colours().size();
  }
}

TEST(ShelfReach, KeepsNoTwoColoursInOneCell) {
  const std::vector<Lab>& colours = reach_of_three().colours();
  const auto same = [](double p, double q) { return std::lround(p) == std::lround(q); };
  for (std::size_t i = 0; i < colours.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j)
      EXPECT_FALSE(same(colours[i].l, colours[j].l) && same(colours[i].a, colours[j].a) &&
                   same(colours[i].b, colours[j].b));
  }
}

TEST(ShelfReach, KnowsItsDarkestAndLightestGrey) {
  const Painter painter = small_painter();
  const ShelfReach& reach = reach_of_three();
  EXPECT_LE(reach.darkest(), painter.lab({{black, full_load}}).l + 0.5);
  EXPECT_GE(reach.lightest(), painter.lab({{white, full_load}}).l - 0.5);
  EXPECT_GE(reach.darkest(), 0);
  EXPECT_LE(reach.lightest(), 100);
}

TEST(ShelfReach, HasChromaWhereverItHasAColour) {
  const ShelfReach& reach = reach_of_three();
  double most = 0;
  for (const Lab& colour : reach.colours())
    most = std::max(most, std::hypot(colour.a, colour.b));
  for (const Lab& colour : reach.colours()) {
    const double limit = reach.most_chroma(colour.l, std::atan2(colour.b, colour.a));
    EXPECT_GT(limit, 0);
    EXPECT_LE(limit, most);
  }
}

TEST(ShelfReach, ChromaGoesRoundWithTheHue) {
  const ShelfReach& reach = reach_of_three();
  holds_always([&] {
    const double l = any_between(-5, 105), hue = any_between(-4, 4);
    const double chroma = reach.most_chroma(l, hue);
    RC_ASSERT(chroma >= 0);
    RC_ASSERT(std::abs(chroma - reach.most_chroma(l, hue + 2 * std::numbers::pi)) < 1e-9);
    // No jump, the seam at 0 included: over a thousandth of a turn.
    RC_ASSERT(std::abs(chroma - reach.most_chroma(l, hue + 0.006)) < 5);
  });
}

TEST(ShelfReach, IsTheSameForAnyNumberOfThreads) {
  const auto made_by = [](unsigned threads) {
    const ThreadCount cap(threads);
    return ShelfReach(small_painter(), all_five, full_load, 3);
  };
  const ShelfReach alone = made_by(1);
  for (const unsigned threads : {2u, 5u}) {
    const ShelfReach together = made_by(threads);
    EXPECT_EQ(alone.colours(), together.colours()) << threads;
    EXPECT_EQ(alone.darkest(), together.darkest());
    EXPECT_EQ(alone.lightest(), together.lightest());
    EXPECT_EQ(alone.most_chroma(40, 0.5), together.most_chroma(40, 0.5));
  }
}

}  // namespace
}  // namespace powderplan
