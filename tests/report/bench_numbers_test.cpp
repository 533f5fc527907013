#include "report/bench_numbers.h"

#include <gtest/gtest.h>

#include <cmath>

#include "report/outline.h"

namespace powderplan {
namespace {

TEST(BenchNumbers, GramsAsTheScaleShowsThem) {
  const std::pair<double, std::string> cases[] = {
      {0, "0 g"},        {-1e-12, "0 g"},      {0.0049, "under 0.01 g"}, {0.005, "0.01 g"},
      {0.124, "0.12 g"}, {0.994, "0.99 g"},    {0.996, "1.0 g"},         {1.04, "1.0 g"},
      {12.36, "12.4 g"}, {1234.56, "1234.6 g"}};
  for (const auto& [grams, text] : cases)
    EXPECT_EQ(shown(Grams(grams)), text) << grams;
}

TEST(BenchNumbers, OtherQuantities) {
  EXPECT_EQ(shown(Load(0.045)), "0.045 g/cm\u00b2");
  EXPECT_EQ(shown(Load(0.184)), "0.18 g/cm\u00b2");
  EXPECT_EQ(shown(Load(0.0999)), "0.10 g/cm\u00b2");
  EXPECT_EQ(shown(Millimetres(1.36)), "1.4 mm");
  EXPECT_EQ(shown(Millimetres(9.96)), "10 mm");
  EXPECT_EQ(shown_area(0.01), "under 0.1 cm\u00b2");
  EXPECT_EQ(shown_area(123.4), "123 cm\u00b2");
  EXPECT_EQ(shown(Celsius(814.6)), "815");
  EXPECT_EQ(shown_fahrenheit(Celsius(815)), "1499");
  EXPECT_EQ(shown_minutes(25.2), "25 min");
  EXPECT_EQ(shown_minutes(60), "1 h");
  EXPECT_EQ(shown_minutes(89.7), "1 h 30 min");
}

TEST(BenchNumbers, HoursOfASchedule) {
  Firing firing;
  EXPECT_EQ(hours_of(firing), 0);
  firing.segments = {{200, Celsius(520), 30}, {0, Celsius(800), 12}, {-100, Celsius(500), 60}};
  EXPECT_NEAR(hours_of(firing), 2.5 + 0.5 + 0 + 0.2 + 3 + 1, 1e-12);
}

TEST(Outline, OfSimpleShapes) {
  Image<std::uint8_t> mask(40, 30);
  EXPECT_EQ(outline_mm(mask, Millimetres(1)), 0);
  for (int y = 5; y < 15; ++y) {
    for (int x = 10; x < 30; ++x)
      mask.at(x, y) = 1;
  }
  // A rectangle of 20 by 10 whose corners are cut.
  EXPECT_NEAR(outline_mm(mask, Millimetres(1)), 60, 4 * (1 - 1 / std::sqrt(2.0)) + 1e-9);
  EXPECT_NEAR(outline_mm(mask, Millimetres(0.5)), 30, 1);
  EXPECT_NEAR(outline_mm(Image<std::uint8_t>(10, 10, 1), Millimetres(1)), 40, 2);
}

TEST(Outline, OfACircleIsAtMostEightPercentLong) {
  Image<std::uint8_t> disc(400, 400);
  for (int y = 0; y < 400; ++y) {
    for (int x = 0; x < 400; ++x)
      disc.at(x, y) = std::hypot(x - 199.5, y - 199.5) < 150 ? 1 : 0;
  }
  const double length = outline_mm(disc, Millimetres(1)), circle = 2 * 3.14159265 * 150;
  EXPECT_GE(length, circle * 0.999);
  EXPECT_LE(length, circle * 1.083);
}

}  // namespace
}  // namespace powderplan
