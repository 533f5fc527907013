#include "report/firing_line.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

TEST(FiringLine, EveryStepHangsOnItsFiring) {
  const PlanRecord plan = fixture::record();
  const std::vector<FiringStop> stops = firing_line(plan);
  ASSERT_EQ(stops.size(), plan.firing_plan.firings.size());
  std::size_t number = 0;
  for (std::size_t k = 0; k < stops.size(); ++k) {
    EXPECT_EQ(stops[k].number, k + 1);
    EXPECT_EQ(stops[k].top, top_of(plan.firing_plan.firings[k].segments));
    for (const HangingStep& step : stops[k].steps)
      EXPECT_EQ(step.number, ++number);
  }
  EXPECT_EQ(number, plan.layers.size());
}

TEST(FiringLine, DaysFollowFromTheHoursInTheKiln) {
  PlanRecord plan = fixture::record();
  ASSERT_EQ(plan.firing_plan.firings.size(), 3U);
  const auto hold = [](double hours) { return Schedule{{0, Celsius(500), 60 * hours}}; };
  plan.firing_plan.firings[0].segments = hold(hours_overnight);
  plan.firing_plan.firings[1].segments = hold(hours_overnight + 1);
  const std::vector<FiringStop> stops = firing_line(plan);
  EXPECT_EQ(stops[0].day, 1);
  EXPECT_EQ(stops[1].day, 2) << "cold the next morning";
  EXPECT_EQ(stops[2].day, 4) << "still warm the next morning";
}

TEST(FiringLine, WhatIsDoneTakesNoDay) {
  PlanRecord plan = fixture::record();
  plan.firings_done = 1;
  const std::vector<FiringStop> stops = firing_line(plan);
  EXPECT_TRUE(stops[0].done);
  EXPECT_EQ(stops[0].day, 0);
  EXPECT_EQ(stops[1].day, 1);
}

TEST(FiringLine, ManyFiringsTakeMoreRows) {
  const std::vector<FiringStop> stops = firing_line(fixture::record());
  std::vector<FiringStop> many;
  for (int i = 0; i < 4; ++i)
    many.insert(many.end(), stops.begin(), stops.end());
  EXPECT_GT(firing_line_height(many, 180, 4), 2 * firing_line_height(stops, 180, 4));
  EXPECT_GT(firing_line_height(stops, 60, 4), firing_line_height(stops, 180, 4));
  EXPECT_EQ(firing_line_height({}, 180, 4), 0);
}

}  // namespace
}  // namespace powderplan
