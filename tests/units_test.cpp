#include "units.h"

#include <gtest/gtest.h>

#include <type_traits>

namespace powderplan {
namespace {

// What must not compile: a bare number where a quantity is meant, and one quantity for another.
static_assert(!std::is_convertible_v<double, Millimetres>);
static_assert(!std::is_convertible_v<Millimetres, double>);
static_assert(!std::is_convertible_v<Grams, Load>);
static_assert(!std::is_constructible_v<Load, Millimetres>);
static_assert(std::is_constructible_v<Load, double>);

TEST(Quantity, StartsAtZero) {
  EXPECT_EQ(Load().value(), 0.0);
}

TEST(Quantity, AddsScalesAndDividesWithinItsUnit) {
  Load load = Load(0.5) + Load(0.25);
  load += Load(0.25);
  EXPECT_EQ(load, Load(1.0));
  EXPECT_EQ(load - Load(0.25), Load(0.75));
  EXPECT_EQ(load * 2, Load(2.0));
  EXPECT_EQ(load / 4, Load(0.25));
  EXPECT_EQ(Millimetres(3) / Millimetres(2), 1.5);
}

TEST(Quantity, ComparesByValue) {
  EXPECT_LT(Celsius(515), Celsius(680));
  EXPECT_GE(Celsius(515), Celsius(515));
  EXPECT_NE(Grams(1), Grams(2));
}

TEST(LoadOfSheet, GrowsWithThicknessAndDensity) {
  EXPECT_DOUBLE_EQ(load_of_sheet(Millimetres(3)).value(), full_load.value());
  EXPECT_DOUBLE_EQ(load_of_sheet(Millimetres(6)).value(), 2 * full_load.value());
  EXPECT_DOUBLE_EQ(load_of_sheet(Millimetres(3), Density(5)).value(), 2 * full_load.value());
  EXPECT_EQ(load_of_sheet(Millimetres(0)).value(), 0.0);
}

}  // namespace
}  // namespace powderplan
