#include "layers/fade_course.h"

#include <gtest/gtest.h>

#include "fades.h"

namespace powderplan {
namespace {

using namespace trial_fade;

TEST(FadeCourse, HasANameForEachShape) {
  const auto course = [](auto&& amount) { return free_fade(amount).bench.way.course; };
  EXPECT_EQ(course([](double x, double y) { return std::hypot(x - 60, y - 40) / 80; }), FadeCourse::inwards);
  EXPECT_EQ(course([](double, double y) { return 1 - std::abs(y - 40) / 40; }), FadeCourse::from_band);
  EXPECT_EQ(course([](double x, double) { return std::abs(x - 60) / 60; }), FadeCourse::to_band);
  const auto bell = [](double x, double y) { return std::exp(-(x * x + y * y) / 200); };
  EXPECT_EQ(course([&](double x, double y) {
              return bell(x - 25, y - 20) + bell(x - 60, y - 60) + bell(x - 95, y - 20);
            }),
            FadeCourse::several);
  // Half a spot at an edge goes one way.
  EXPECT_EQ(course([&](double x, double y) { return bell((x - 60) / 2, (y - 80) / 2); }),
            FadeCourse::one_way);
}

TEST(FadeCourse, StartsWhereverMuchLies) {
  const auto bell = [](double x, double y) { return std::exp(-(x * x + y * y) / 200); };
  const FadeWay two = free_fade([&](double x, double y) {
                        return bell(x - 30, y - 40) + 0.9 * bell(x - 90, y - 30);
                      }).bench.way;
  ASSERT_EQ(two.starts.size(), 2U);
  EXPECT_NEAR(std::hypot(two.starts[0].x - 30, two.starts[0].y - 40), 0, 1);
  EXPECT_NEAR(std::hypot(two.starts[1].x - 90, two.starts[1].y - 30), 0, 1);
  // A faint one is none.
  const FadeWay one = free_fade([&](double x, double y) {
                        return bell(x - 30, y - 40) + 0.5 * bell(x - 90, y - 30);
                      }).bench.way;
  EXPECT_EQ(one.starts.size(), 1U);
}

}  // namespace
}  // namespace powderplan
