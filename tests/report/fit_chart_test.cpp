#include "report/fit_chart.h"

#include <gtest/gtest.h>

#include <map>

#include "measure/known_tile.h"
#include "parallel.h"

namespace powderplan {
namespace {

FittedPowder fitted(unsigned seed, bool opalescent, int loads) {
  const Readings readings =
      known_tile::KnownTile(known::made_up(seed, opalescent), opalescent).read(0.3, seed, loads);
  return {"Samphire green", "samphire: 12 readings of tile.jpg, row 1", readings,
          measure_powder(readings, "tile.jpg")};
}

std::size_t count_of(const Image<Rgb8>& chart, const Lab& colour) {
  const Rgb8 wanted = to_rgb8(to_linear_rgb(to_xyz(colour)));
  std::size_t count = 0;
  for (std::size_t i = 0; i < chart.size(); ++i)
    count += chart[i] == wanted ? 1 : 0;
  return count;
}

TEST(FitChart, ShowsEveryColourMeasuredAndPredicted) {
  const FittedPowder powder = fitted(3, true, 6);
  const Image<Rgb8> chart = fit_chart({powder});
  for (const StepResult& step : powder.measured.steps) {
    EXPECT_GT(count_of(chart, step.measured), 80u * 40u) << step.load.value();
    EXPECT_GT(count_of(chart, step.predicted), 80u * 40u) << step.load.value();
  }
}

TEST(FitChart, GrowsWithPowdersAndLoads) {
  const FittedPowder few = fitted(3, true, 3), many = fitted(4, false, 24);
  const Image<Rgb8> one = fit_chart({few}), two = fit_chart({few, few}), wide = fit_chart({many});
  EXPECT_GT(two.height(), one.height() * 3 / 2);
  EXPECT_EQ(two.width(), one.width());
  EXPECT_GT(wide.width(), one.width());
  // And shows the last of them still.
  EXPECT_GT(count_of(wide, many.measured.steps.back().measured), 50u * 40u);
}

TEST(FitChart, TheSameBytesWhateverTheThreads) {
  const std::vector<FittedPowder> powders{fitted(3, true, 6)};
  const ThreadCount one(1);
  const auto alone = fit_chart_png(powders);
  const ThreadCount five(5);
  EXPECT_EQ(fit_chart_png(powders), alone);
}

}  // namespace
}  // namespace powderplan
