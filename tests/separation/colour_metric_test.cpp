#include "separation/colour_metric.h"

#include <algorithm>
#include <limits>

#include "colour/difference.h"
#include "property.h"

namespace powderplan {
namespace {

Lab any_lab(double most_chroma) {
  const double l = any_between(2, 98), chroma = any_between(0, most_chroma), hue = any_between(0, 6.2831853);
  return {l, chroma * std::cos(hue), chroma * std::sin(hue)};
}

Lab beside(const Lab& centre, double distance) {
  const double turn = any_between(0, 6.2831853), rise = any_between(-1, 1), flat = std::sqrt(1 - rise * rise);
  return {centre.l + distance * rise, centre.a + distance * flat * std::cos(turn),
          centre.b + distance * flat * std::sin(turn)};
}

double metric(const Lab& wanted, const Lab& other) {
  return std::sqrt(LocalMetric(wanted).square_distance(other));
}

TEST(LocalMetric, IsCiede2000ForSmallDifferences) {
  holds_always(
      [] {
        const Lab wanted = any_lab(90);
        const Lab other = beside(wanted, 0.05);
        const double exact = ciede2000(wanted, other);
        RC_ASSERT(std::abs(metric(wanted, other) - exact) < 0.01 * exact + 1e-5);
      },
      2000);
}

TEST(LocalMetric, IsWithinSomePerCentForDifferencesOfAFewUnits) {
  double sum = 0, exact_sum = 0;
  holds_always(
      [&] {
        const Lab wanted = any_lab(90), other = beside(wanted, 3);
        const double exact = ciede2000(wanted, other), fast = metric(wanted, other);
        sum += std::abs(fast - exact);
        exact_sum += exact;
        RC_ASSERT(std::abs(fast - exact) < 0.2 * exact);
      },
      2000);
  EXPECT_LT(sum, 0.05 * exact_sum);
}

TEST(LocalMetric, HasNoHueSeam) {
  // Where CIEDE2000 jumps: hues 180 degrees apart, near the greys.
  const Lab grey{50, 1, 0};
  EXPECT_NEAR(metric(grey, {50, -1, 0.001}), metric(grey, {50, -1, -0.001}), 0.001);
  EXPECT_EQ(metric({50, 0, 0}, {50, 0, 0}), 0);
}

TEST(LocalMetric, FindsTheNearestOfAnyNumberOfColours) {
  holds_always([] {
    const LocalMetric near(any_lab(100));
    const auto count = *rc::gen::inRange(1, 40);
    std::vector<Lab> colours;
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i < count; ++i) {
      colours.push_back(any_lab(100));
      least = std::min(least, near.square_distance(colours.back()));
    }
    RC_ASSERT(std::abs(std::sqrt(near.nearest(LabColumns(colours))) - std::sqrt(least)) < 1e-3);
  });
}

// Far-off colours fill the last block; they are never the nearest.
TEST(LabColumns, ArePaddedToWholeBlocksWithFarOffColours) {
  for (const std::size_t count : {0u, 1u, 7u, 8u, 9u, 16u, 17u}) {
    const LabColumns columns(std::vector<Lab>(count, Lab{50, 1, 2}));
    EXPECT_EQ(columns.l.size(), (count + colours_in_a_block - 1) / colours_in_a_block * colours_in_a_block);
    EXPECT_EQ(columns.a.size(), columns.l.size());
    EXPECT_EQ(columns.b.size(), columns.l.size());
    for (std::size_t i = 0; i < columns.l.size(); ++i) {
      if (i < count) {
        EXPECT_EQ(columns.l[i], 50);
      } else {
        EXPECT_GT(columns.l[i], 1000);
      }
    }
  }
}

}  // namespace
}  // namespace powderplan
