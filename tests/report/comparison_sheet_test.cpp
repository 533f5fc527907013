// The sheet of a comparison: its pictures where they should be, in the colours that they should have. How it
// looks is for eyes.
#include "report/comparison_sheet.h"

#include <gtest/gtest.h>

#include "report/difference_map.h"
#include "report/made_up_comparison.h"

namespace powderplan {
namespace {

int count_of(const Image<Rgb8>& picture, const Rgb8& colour) {
  int count = 0;
  for (std::size_t i = 0; i < picture.size(); ++i)
    count += picture[i].r == colour.r && picture[i].g == colour.g && picture[i].b == colour.b ? 1 : 0;
  return count;
}

TEST(DifferencePicture, IsGreyWhereThePhotoCannotBeTrusted) {
  const PieceComparison found = made_up_comparison(fixture::record());
  const Image<Rgb8> picture = difference_picture(found);
  ASSERT_EQ(picture.width(), found.grid.width);
  ASSERT_EQ(picture.height(), found.grid.height);
  EXPECT_EQ(to_hex(picture.at(3, 3)), to_hex(difference_colour(6)));
  EXPECT_EQ(to_hex(picture.at(3, 20)), to_hex(difference_colour(1)));
  EXPECT_EQ(to_hex(picture.at(25, 3)), to_hex(not_counted_colour));
}

TEST(ComparisonSheet, ShowsPlanPhotoAndDifferenceInOneSize) {
  const PlanRecord plan = fixture::record();
  const PieceComparison found = made_up_comparison(plan);
  const Image<Rgb8> sheet = comparison_sheet(plan, found);
  const int planned = count_of(sheet, found.planned[0]), seen = count_of(sheet, found.seen[0]);
  EXPECT_GT(planned, 100'000);
  EXPECT_NEAR(planned, seen, 0.01 * planned);
  // A third of the difference is grey, less the numbers that stand on it.
  EXPECT_NEAR(count_of(sheet, not_counted_colour), planned * 10.0 / 32, 0.08 * planned);
}

TEST(ComparisonSheet, GrowsWithPowdersAndRegionsAndStandsNothing) {
  const PlanRecord plan = fixture::record();
  PieceComparison found = made_up_comparison(plan);
  const int whole = comparison_sheet(plan, found).height();
  found.powders.pop_back();
  const int one_less = comparison_sheet(plan, found).height();
  EXPECT_LT(one_less, whole);
  found.layers.clear();
  const int no_regions = comparison_sheet(plan, found).height();
  EXPECT_LT(no_regions, one_less);
  found.powders.clear();
  EXPECT_LT(comparison_sheet(plan, found).height(), no_regions);
  EXPECT_EQ(comparison_sheet(plan, found).width(), comparison_sheet(plan, made_up_comparison(plan)).width());
}

TEST(ComparisonSheet, APowderThatIsToldIsRed) {
  const PlanRecord plan = fixture::record();
  PieceComparison found = made_up_comparison(plan);
  const Rgb8 red{150, 30, 30};
  EXPECT_GT(count_of(comparison_sheet(plan, found), red), 100);
  found.powders[0].factor = 1.01;
  EXPECT_EQ(count_of(comparison_sheet(plan, found), red), 0);
}

}  // namespace
}  // namespace powderplan
