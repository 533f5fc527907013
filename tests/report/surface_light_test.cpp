#include "report/surface_light.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "finished.h"
#include "report/sifted_grains.h"

namespace powderplan {
namespace {

constexpr Millimetres grain{0.1};

struct Means {
  double shade = 0, gleam = 0;
};

// Over slopes that lie evenly in a disc.
Means over_a_grain(const SurfaceLight& light, double steepest) {
  constexpr int rings = 120, turns = 180;
  Means means;
  for (int r = 0; r < rings; ++r) {
    for (int t = 0; t < turns; ++t) {
      const double slope = steepest * std::sqrt((r + 0.5) / rings), angle = 2 * std::numbers::pi * t / turns;
      const auto x = static_cast<float>(slope * std::cos(angle)),
                 y = static_cast<float>(slope * std::sin(angle));
      means.shade += static_cast<double>(light.shade(x, y)) / (rings * turns);
      means.gleam += static_cast<double>(light.gleam(x, y)) / (rings * turns);
    }
  }
  return means;
}

TEST(SurfaceLight, LeavesTheMeanOfAGrainAlone) {
  for (const Finish finish : {Finish::unfired, Finish::tack, Finish::contour, Finish::full}) {
    const FinishValues values = finished(finish, grain);
    for (const View view : {View::wall, View::window}) {
      const Means means = over_a_grain({values, view}, steepest_slope(values));
      EXPECT_NEAR(means.shade, 1, 1e-4) << name_of(finish);
      EXPECT_NEAR(means.gleam, 0, 1e-4) << name_of(finish);
    }
  }
}

TEST(SurfaceLight, ComesFromAboveLeft) {
  const SurfaceLight light(finished(Finish::tack, grain), View::wall);
  // Rising to the right is turned to the left; rising downwards is turned up.
  EXPECT_GT(light.shade(0.3F, 0), 1.1F);
  EXPECT_GT(light.shade(0, 0.3F), 1.1F);
  EXPECT_LT(light.shade(-0.3F, 0), 0.9F);
  EXPECT_LT(light.shade(0, -0.3F), 0.9F);
  EXPECT_GT(light.gleam(0.31F, 0.39F), 0.05F) << "a facet that mirrors it";
  EXPECT_LT(light.gleam(-0.4F, -0.4F), 0);
}

TEST(SurfaceLight, RoughGleamsMoreThanSmooth) {
  const SurfaceLight rough(finished(Finish::unfired, grain), View::wall),
      smooth(finished(Finish::full, grain), View::wall);
  EXPECT_GT(rough.gleam(0.31F, 0.39F), 10 * std::abs(smooth.gleam(0.31F, 0.39F)));
}

TEST(SurfaceLight, InAWindowAGrainIsALensWithoutGleam) {
  const SurfaceLight light(finished(Finish::tack, grain), View::window);
  EXPECT_GT(light.shade(0, 0), 1.03F);
  EXPECT_LT(light.shade(0.5F, 0), 1);
  EXPECT_EQ(light.shade(0.2F, 0), light.shade(-0.2F, 0)) << "from no side";
  EXPECT_EQ(light.gleam(0.31F, 0.39F), 0);
}

}  // namespace
}  // namespace powderplan
