#include "layers/meetings.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>

namespace powderplan {
namespace {

constexpr int width = 200, height = 160;
const Grid grid{Millimetres(0.5), width, height};

double disc(double x, double y, double at_x, double radius) {
  return std::hypot(x - at_x, y - 80) < radius ? 1 : 0;
}

// Powders 3, 5 and 7 of a shelf; 3 and 7 react.
constexpr std::size_t powders[] = {3, 5, 7};
const Reaction pair{3, 7, {}, {"copper"}};

// A layer whose amount (0..1) is told point by point, from the middle of each.
Layer layer_of(std::size_t place, const std::function<double(double, double)>& amount) {
  Layer layer;
  layer.powder = powders[place];
  layer.load = Load(0.2);
  layer.amount = Image<Amount>(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      layer.amount.at(x, y) = static_cast<Amount>(std::lround(amount(x + 0.5, y + 0.5) * whole_amount));
  }
  return layer;
}

std::vector<Meeting> meetings(const std::vector<Layer>& layers, const std::vector<Reaction>& pairs = {pair},
                              std::size_t sheet = 0) {
  return meetings_of(pairs, layers, Spots(layers, width, height), sheet, grid);
}

Meeting only(const std::vector<Meeting>& found) {
  EXPECT_EQ(found.size(), 1u);
  return found.at(0);
}

std::size_t count(const Meeting& meeting, std::uint8_t value) {
  return static_cast<std::size_t>(
      std::count(meeting.where.data(), meeting.where.data() + meeting.where.size(), value));
}

TEST(Meetings, OfADiscInAFieldAreItsCircle) {
  const Meeting m = only(meetings({layer_of(0, [](double x, double y) { return 1 - disc(x, y, 100, 50); }),
                                   layer_of(2, [](double x, double y) { return disc(x, y, 100, 50); })}));
  const double exact = 2 * std::numbers::pi * 25;
  EXPECT_NEAR(m.border.value(), exact, 0.03 * exact);
  EXPECT_EQ(m.overlap_cm2, 0);
  EXPECT_EQ(count(m, meets_on_another), 0u);
  EXPECT_GT(count(m, meets_beside), 0u);
}

TEST(Meetings, OfADiscOnAFieldAreItsAreaAndNoBorder) {
  const Meeting m = only(meetings({layer_of(0, [](double, double) { return 1; }),
                                   layer_of(2, [](double x, double y) { return disc(x, y, 100, 50); })}));
  const double exact = std::numbers::pi * 2.5 * 2.5;
  EXPECT_NEAR(m.overlap_cm2, exact, 0.01 * exact);
  EXPECT_NEAR(m.overlap_cm2, static_cast<double>(count(m, meets_on_another)) * grid.point_cm2(), 1e-9);
  EXPECT_EQ(m.border, Millimetres(0));
}

TEST(Meetings, OfDiscsThatOverlapAreTheLensAlone) {
  // Where the two cross, one ends on the other: no point with one is beside a point with the other alone,
  // but for the two corners of the lens.
  const Meeting m = only(meetings({layer_of(0, [](double x, double y) { return disc(x, y, 75, 40); }),
                                   layer_of(2, [](double x, double y) { return disc(x, y, 125, 40); })}));
  const double r = 20, d = 25;  // mm
  const double lens = 2 * r * r * std::acos(d / (2 * r)) - d / 2 * std::sqrt(4 * r * r - d * d);
  EXPECT_NEAR(m.overlap_cm2, lens / 100, 0.01 * lens / 100);
  EXPECT_LT(m.border.value(), 3);
}

TEST(Meetings, ACoatOfAnotherPowderKeepsThemApart) {
  const auto all = [](double, double) { return 1.0; };
  const auto left = [](double x, double) { return x < 100 ? 1.0 : 0.0; };
  const Meeting m = only(meetings({layer_of(0, all), layer_of(1, left), layer_of(2, all)}));
  EXPECT_NEAR(m.overlap_cm2, 5 * 8, 1e-9);  // the right half alone
  EXPECT_EQ(m.where.at(20, 20), 0);
  EXPECT_EQ(m.where.at(180, 20), meets_on_another);
  // So does a coat of another powder below one of them, side by side, not.
  const Meeting beside = only(meetings({layer_of(0, left), layer_of(1, all),
                                        layer_of(2, [](double x, double) { return x < 100 ? 0.0 : 1.0; })}));
  EXPECT_NEAR(beside.border.value(), 80, 1e-3);
  EXPECT_EQ(beside.overlap_cm2, 0);
}

TEST(Meetings, TooThinADustDoesNotReact) {
  // A fade from nothing at the left to everything at the right.
  const Meeting m = only(meetings({layer_of(0, [](double, double) { return 1; }),
                                   layer_of(2, [](double x, double) { return x / width; })}));
  EXPECT_NEAR(m.overlap_cm2, 10 * 8 * (1 - least_share_that_reacts), 10 * 8 * 0.006);
}

TEST(Meetings, EveryLayerOfAPowderCounts) {
  // Two layers of the same powder, each half of the field.
  const Meeting m = only(meetings({layer_of(0, [](double, double) { return 1; }),
                                   layer_of(2, [](double x, double) { return x < 60 ? 1 : 0; }),
                                   layer_of(2, [](double x, double) { return x > 140 ? 1 : 0; })}));
  EXPECT_NEAR(m.overlap_cm2, 6 * 8 * 0.5 * 2, 1e-9);
}

TEST(Meetings, OfAPairOfWhichOneIsNotLaidAreNotListed) {
  const std::vector<Layer> layers{layer_of(0, [](double, double) { return 1; })};
  EXPECT_TRUE(meetings(layers).empty());
  EXPECT_TRUE(meetings({}).empty());
}

TEST(Meetings, OfAPairThatKeepsApartAreNothing) {
  const Meeting m = only(meetings({layer_of(0, [](double x, double) { return x < 90 ? 1 : 0; }),
                                   layer_of(2, [](double x, double) { return x > 110 ? 1 : 0; })}));
  EXPECT_FALSE(m.anywhere());
  EXPECT_EQ(m.border, Millimetres(0));
  EXPECT_EQ(m.overlap_cm2, 0);
}

TEST(Meetings, WithTheSheetAreWhereThePowderIsTheLowest) {
  const Reaction with_sheet{5, {}, 1, {"lead"}};
  const std::vector<Layer> layers{layer_of(0, [](double x, double) { return x < 100 ? 1 : 0; }),
                                  layer_of(1, [](double x, double) { return x > 50 && x < 160 ? 1 : 0; })};
  const Meeting m = only(meetings(layers, {with_sheet}, 1));
  EXPECT_NEAR(m.overlap_cm2, 3 * 8, 1e-9);
  EXPECT_EQ(m.border, Millimetres(0));
  EXPECT_TRUE(meetings(layers, {with_sheet}, 0).empty());  // another sheet lies below
}

TEST(Meetings, KeepTheOrderOfThePairs) {
  const std::vector<Layer> layers{layer_of(0, [](double x, double) { return x < 100 ? 1 : 0; }),
                                  layer_of(1, [](double, double) { return 1; }),
                                  layer_of(2, [](double x, double) { return x > 90 ? 1 : 0; })};
  const std::vector<Reaction> pairs{{3, 5, {}, {"a"}}, {3, 7, {}, {"b"}}, {5, 7, {}, {"c"}}};
  const std::vector<Meeting> found = meetings(layers, pairs);
  ASSERT_EQ(found.size(), 3u);
  for (std::size_t i = 0; i < 3; ++i)
    EXPECT_EQ(found[i].pair, pairs[i]);
  EXPECT_NEAR(found[0].overlap_cm2, 5 * 8, 1e-9);
  EXPECT_NEAR(found[2].overlap_cm2, 5.5 * 8, 1e-9);
}

}  // namespace
}  // namespace powderplan
