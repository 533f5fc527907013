#include "firing/piece_thickness.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "firing/schedule_check.h"
#include "firing/starting_schedule.h"
#include "shelf.h"

namespace powderplan {
namespace {

// Squares of 1.5 mm, half of a 3 mm sheet: six points.
const Grid grid{Millimetres(0.25), 20, 14};
const Sheet sheet = clear_sheet();

// A layer that lies from `left` to `right`, in all rows.
Layer strip(std::size_t powder, double load, int left, int right, Amount amount = whole_amount) {
  Layer layer;
  layer.powder = powder;
  layer.load = Load(load);
  layer.amount = Image<Amount>(grid.width, grid.height, 0);
  for (int y = 0; y < grid.height; ++y) {
    for (int x = left; x < right; ++x)
      layer.amount.at(x, y) = amount;
  }
  return layer;
}

std::vector<LayerPlace> places_in(const std::vector<std::size_t>& firings) {
  std::vector<LayerPlace> places(firings.size());
  for (std::size_t i = 0; i < firings.size(); ++i)
    places[i].firing = firings[i];
  return places;
}

std::vector<Millimetres> thickness_of(const std::vector<Layer>& layers, const std::vector<LayerPlace>& places,
                                      std::size_t firings) {
  return thickness_after_firings(layers, places, firings, grid, sheet, glass_density);
}

// 0.25 g/cm2 are 1 mm of glass at 2.5 g/cm3.
TEST(PieceThickness, IsTheSheetAndWhatLiesWhereMostDoes) {
  const std::vector<Layer> layers{strip(0, 0.25, 0, 12), strip(1, 0.5, 6, 20), strip(2, 0.5, 0, 6)};
  const std::vector<Millimetres> thickness = thickness_of(layers, places_in({0, 1, 2}), 3);
  ASSERT_EQ(thickness.size(), 3u);
  EXPECT_NEAR(thickness[0].value(), 4, 1e-9);
  EXPECT_NEAR(thickness[1].value(), 6, 1e-9) << "1 and 2 mm, where they lie over each other";
  EXPECT_NEAR(thickness[2].value(), 6, 1e-9) << "2 mm, but elsewhere";
}

TEST(PieceThickness, HalfTheAmountIsHalfTheGlass) {
  EXPECT_NEAR(thickness_of({strip(0, 0.5, 0, 20, 51)}, places_in({0}), 1)[0].value(), 3 + 2.0 * 51 / 255,
              1e-9);
}

// One point of six across is a sixth of what it carries.
TEST(PieceThickness, NarrowRidgesCountWithWhatLiesBesideThem) {
  EXPECT_NEAR(thickness_of({strip(0, 0.75, 7, 8)}, places_in({0}), 1)[0].value(), 3.5, 1e-9);
}

TEST(PieceThickness, EdgesOfThePieceAreLookedAtToo) {
  EXPECT_NEAR(thickness_of({strip(0, 0.25, 14, 20)}, places_in({0}), 1)[0].value(), 4, 1e-9);
  Layer bottom = strip(0, 0.25, 0, 0);
  for (int y = 8; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x)
      bottom.amount.at(x, y) = whole_amount;
  }
  EXPECT_NEAR(thickness_of({bottom}, places_in({0}), 1)[0].value(), 4, 1e-9);
}

// Squares lie half over each other: a patch of 9 points holds a whole one wherever it is.
TEST(PieceThickness, DoesNotDependOnWhereAPatchLies) {
  for (int left = 0; left + 9 <= grid.width; ++left)
    EXPECT_NEAR(thickness_of({strip(0, 0.25, left, left + 9)}, places_in({0}), 1)[0].value(), 4, 1e-9)
        << left;
}

TEST(PieceThickness, WithoutLayersIsTheSheet) {
  EXPECT_EQ(thickness_of({}, {}, 1), std::vector<Millimetres>{sheet.thickness});
}

// A plan of two firings that puts 5 mm of powder on a 3 mm sheet, loose load allowed.
class ThickPlan : public ::testing::Test {
 protected:
  FiringLimits limits_ = [] {
    FiringLimits limits;
    limits.most_loose_load = Load(0.7);
    return limits;
  }();
  KilnLimits kiln_{sheet, small_shelf(), limits_};
  std::vector<Layer> layers_{strip(red, 0.65, 0, 20), strip(blue, 0.6, 0, 20)};
  FiringPlan plan_ = plan_firings(layers_, kiln_);

  [[nodiscard]] HighestStress stress(std::size_t k) const {
    return highest_stress(plan_.firings[k].segments, small_shelf().glass, plan_.firings[k].thickness,
                          HeatedFaces::one);
  }
};

TEST_F(ThickPlan, SchedulesKeepTheStressOfTheWholePiece) {
  ASSERT_EQ(plan_.firings.size(), 2u);
  const FiringPlan before = plan_;
  allow_for_powder(plan_, layers_, kiln_, grid);
  EXPECT_NEAR(plan_.firings[0].thickness.value(), 5.6, 1e-9);
  EXPECT_NEAR(plan_.firings[1].thickness.value(), 8.0, 1e-9);
  for (std::size_t k = 0; k < 2; ++k) {
    const Firing &now = plan_.firings[k], &then = before.firings[k];
    ASSERT_TRUE(stress(k).up && stress(k).down);
    EXPECT_LE(stress(k).down->face_mpa, late_cooling_stress_mpa);
    EXPECT_LE(stress(k).up->face_mpa, heating_stress_mpa);
    EXPECT_GT(
        highest_stress(then.segments, small_shelf().glass, now.thickness, HeatedFaces::one).up->face_mpa,
        heating_stress_mpa)
        << "that of the sheet alone is too fast";
    EXPECT_GT(hours_of(now.segments), hours_of(then.segments));
    EXPECT_NEAR(now.flow / then.flow, 1, 2 * flow_rounding) << "and what it leaves is the same";
    EXPECT_EQ(now.layers, then.layers);
  }
}

TEST_F(ThickPlan, FiringsThatAreDoneStayAsTheyWere) {
  const FiringPlan before = plan_;
  allow_for_powder(plan_, layers_, kiln_, grid, 1);
  EXPECT_EQ(plan_.firings[0].thickness, before.firings[0].thickness);
  EXPECT_EQ(hours_of(plan_.firings[0].segments), hours_of(before.firings[0].segments));
  EXPECT_NEAR(plan_.firings[1].thickness.value(), 8.0, 1e-9) << "what lies already counts";
}

}  // namespace
}  // namespace powderplan
