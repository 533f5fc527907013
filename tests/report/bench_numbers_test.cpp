#include "report/bench_numbers.h"

#include <gtest/gtest.h>

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

TEST(BenchNumbers, WeightsAreShownAsTheScaleShowsThem) {
  EXPECT_EQ(shown_on_scale(Grams(0.5), Grams(0.01)), "0.50 g");
  EXPECT_EQ(shown_on_scale(Grams(1.25), Grams(0.025)), "1.250 g");
  EXPECT_EQ(shown_on_scale(Grams(0), Grams(0.1)), "0.0 g");
  EXPECT_EQ(shown_on_scale(Grams(12), Grams(1)), "12 g");
  EXPECT_EQ(shown_on_scale(Grams(0.1234), Grams(0.0001)), "0.1234 g");
}

}  // namespace
}  // namespace powderplan
