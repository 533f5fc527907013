#include "layers/fade_bench.h"

#include <gtest/gtest.h>

#include <numbers>

#include "fades.h"

namespace powderplan {
namespace {

using namespace trial_fade;
constexpr double pi = std::numbers::pi;

double grams_of(const FadeBench& bench) {
  double grams = 0;
  for (const FadeBand& band : bench.bands)
    grams += band.lands.value();
  return grams;
}

// Straight slopes are kept by the splines, so lines and bands are known in closed form.
TEST(FadeBench, ARampFromTheTopIsFoundAgain) {
  // Reaches 0 and 1 far beyond the piece, so that no corner of the ramp comes into it.
  const Laid ramp = free_fade([](double, double y) { return 0.9 - 0.8 * y / 80; });
  const double full = ramp.bench.full.value(), most = full / load.value();
  EXPECT_NEAR(most, 0.9 - 0.02 * 0.8, 0.01);  // a fiftieth of the area has more
  ASSERT_EQ(ramp.bench.levels.size(), 4U);
  for (std::size_t i = 0; i < 4; ++i) {
    const FadeLevel& level = ramp.bench.levels[i];
    EXPECT_EQ(level.share, usual_fade_shares[i]);
    EXPECT_DOUBLE_EQ(level.load.value(), full * level.share);
    ASSERT_EQ(level.lines.size(), 1U);
    EXPECT_NEAR(length_of(level.lines[0]), 120, 0.01);
    for (const PointMm& p : level.lines[0])
      EXPECT_NEAR(p.y, (0.9 - level.share * most) * 80 / 0.8, 0.1);
  }
  ASSERT_EQ(ramp.bench.bands.size(), 5U);
  for (const FadeBand& band : ramp.bench.bands) {
    const double from = std::max(band.from * most, 0.1), to = band.to < 1 ? band.to * most : 0.9;
    // Amounts are planned in 255ths, and bands end between rows of points.
    const double area = 120 * (to - from) * 80 / 0.8 / 100, mean = (from + to) / 2;
    EXPECT_NEAR(band.area_cm2, area, 120 * 0.6 / 100);
    EXPECT_NEAR(band.lands.value(), load.value() * area * mean, load.value() * mean * 120 * 0.6 / 100);
    EXPECT_NEAR(band.mean.value(), load.value() * mean, 0.01 * load.value());
  }
  EXPECT_EQ(ramp.bench.way.course, FadeCourse::one_way);
  EXPECT_GT(ramp.bench.way.dominance, 0.999);
  EXPECT_NEAR(ramp.bench.way.towards.x, 0, 1e-4);
  EXPECT_NEAR(ramp.bench.way.towards.y, 1, 1e-4);
  ASSERT_EQ(ramp.bench.way.starts.size(), 1U);
  EXPECT_NEAR(ramp.bench.way.starts[0].x, 60, 1);
  EXPECT_LT(ramp.bench.way.starts[0].y, 3);
  EXPECT_TRUE(ramp.bench.free);
  EXPECT_FALSE(ramp.bench.edges.has_value());
}

TEST(FadeBench, TheBandsTogetherAreWhatLands) {
  const auto hills = [](double x, double y) { return 0.5 + 0.4 * std::sin(x / 9) * std::cos(y / 14); };
  for (const Laid& laid : {free_fade(hills), bounded_fade(hills, [](double x, double y) {
                             return std::hypot(x - 40, y - 50) < 25;
                           })}) {
    EXPECT_NEAR(grams_of(laid.bench), laid.layer.load.value() * laid.layer.amount_cm2, 1e-9);
    double area = 0;
    for (const FadeBand& band : laid.bench.bands)
      area += band.area_cm2;
    EXPECT_NEAR(area, laid.layer.area_cm2, 1e-9);
  }
}

// A cubic B-spline field blurs a bell of standard deviation s to one of sqrt(s^2 + spacing^2 / 3), nearly.
TEST(FadeBench, ASpotGoesOutwardsInCircles) {
  const double s = 16, blurred = std::sqrt(s * s + spacing.value() * spacing.value() / 3);
  const Laid spot = free_fade([&](double x, double y) {
    return std::exp(-(std::pow(x - 63, 2) + std::pow(y - 38, 2)) / (2 * s * s));
  });
  const double height = s * s / (blurred * blurred), full = spot.bench.full / load;
  ASSERT_EQ(spot.bench.levels.size(), 4U);
  for (const FadeLevel& level : spot.bench.levels) {
    const double radius = blurred * std::sqrt(2 * std::log(height / (level.share * full)));
    ASSERT_EQ(level.lines.size(), 1U);
    EXPECT_EQ(level.lines[0].front(), level.lines[0].back());
    for (const PointMm& p : level.lines[0])
      EXPECT_NEAR(std::hypot(p.x - 63, p.y - 38), radius, 0.5);
    EXPECT_NEAR(length_of(level.lines[0]), 2 * pi * radius, 0.02 * 2 * pi * radius);
  }
  EXPECT_EQ(spot.bench.way.course, FadeCourse::outwards);
  EXPECT_LT(spot.bench.way.dominance, 0.2);
  EXPECT_NEAR(spot.bench.way.middle.x, 63, 1);
  EXPECT_NEAR(spot.bench.way.middle.y, 38, 1);
}

TEST(FadeBench, LinesEndAtTheOpenings) {
  const Laid laid = bounded_fade([](double x, double) { return 0.05 + 0.9 * x / 120; },
                                 [](double x, double y) { return x > 10 && x < 110 && y > 20 && y < 50; });
  ASSERT_EQ(laid.bench.levels.size(), 3U);  // an eighth lies left of the opening
  for (const FadeLevel& level : laid.bench.levels) {
    ASSERT_EQ(level.lines.size(), 1U);
    EXPECT_NEAR(length_of(level.lines[0]), 30, 0.6);
  }
}

TEST(FadeBench, SharesAreOfTheFullestPlace) {
  const Laid faint = free_fade([](double, double y) { return 0.4 - 0.28 * y / 80; });
  EXPECT_NEAR(faint.bench.full.value(), (0.4 - 0.02 * 0.28) * load.value(), 0.005 * load.value());
  EXPECT_EQ(faint.bench.full, fullest_load(faint.layer));
  ASSERT_EQ(faint.bench.levels.size(), 2U);  // 1/2 and 3/4
  for (const PointMm& p : faint.bench.levels[0].lines.at(0))
    EXPECT_NEAR(p.y, 80 * (0.4 - faint.bench.full / load / 2) / 0.28, 0.1);
}

// Openings are told apart, those with most powder first; they share a way only where it is the same.
TEST(FadeBench, EachOpeningHasItsWay) {
  const auto two = [](double x, double y) {
    return y > 10 && y < 70 && ((x > 10 && x < 50) || (x > 70 && x < 110));
  };
  const Laid alike = bounded_fade([](double, double y) { return 0.1 + 0.8 * y / 80; }, two);
  ASSERT_EQ(alike.bench.places.size(), 2U);
  EXPECT_EQ(alike.bench.way.course, FadeCourse::one_way);
  ASSERT_EQ(alike.bench.way.starts.size(), 2U);
  const Laid opposed =
      bounded_fade([](double x, double y) { return x < 60 ? 0.1 + 0.8 * y / 80 : 0.5 - 0.4 * y / 80; }, two);
  ASSERT_EQ(opposed.bench.places.size(), 2U);
  EXPECT_GT(opposed.bench.places[0].lands, opposed.bench.places[1].lands);
  EXPECT_LT(opposed.bench.places[0].way.towards.y, -0.99);
  EXPECT_GT(opposed.bench.places[1].way.towards.y, 0.99);
  EXPECT_EQ(opposed.bench.way.course, FadeCourse::several);
  EXPECT_LT(opposed.bench.way.starts[0].x, 50);
  EXPECT_GT(opposed.bench.way.starts[0].y, 65);
  EXPECT_GT(opposed.bench.way.starts[1].x, 70);
  EXPECT_LT(opposed.bench.way.starts[1].y, 15);
}

TEST(FadeBench, AGentleFadeHasMoreLines) {
  const Laid gentle = free_fade([](double, double y) { return 0.2 + 0.5 * y / 80; });
  ASSERT_EQ(gentle.bench.levels.size(), 2U);  // 1/2 and 3/4 of 0.7
  const Laid flat = free_fade([](double, double y) { return 0.3 + 0.3 * y / 80; });
  ASSERT_EQ(flat.bench.levels.size(), 3U);  // 5/8, 3/4 and 7/8 of 0.6
  EXPECT_EQ(flat.bench.levels[0].share, 0.625);
  const Laid even = free_fade([](double, double) { return 0.6; });
  EXPECT_TRUE(even.bench.levels.empty());
  ASSERT_EQ(even.bench.bands.size(), 1U);
  EXPECT_EQ(even.bench.bands[0].from, 0);
  EXPECT_EQ(even.bench.bands[0].to, 1);
}

TEST(FadeBench, AnEvenCoatInATemplateHasNoDirection) {
  const Laid even = bounded_fade([](double, double) { return 1.0; },
                                 [](double x, double y) { return std::hypot(x - 60, y - 40) < 20; });
  EXPECT_EQ(even.bench.way.course, FadeCourse::even);
  ASSERT_TRUE(even.bench.edges.has_value());
  EXPECT_DOUBLE_EQ(even.bench.edges->crisp_share, 1.0);
}

TEST(FadeBench, HoldsAreToldByTheEdge) {
  const auto steep = [](double x, double) { return (x - 56) / 8; };
  const FadeHold low = free_fade(steep).bench.hold;
  EXPECT_FALSE(low.high);
  EXPECT_NEAR(low.edge.value(), 8, 1e-9);
  EXPECT_NEAR(low.height.value(), 100, 1e-9);  // 12.5 times the edge
  const FadeHold high = free_fade(steep, spacing * 3.0).bench.hold;
  EXPECT_TRUE(high.high);
  EXPECT_NEAR(high.edge.value(), 24, 1e-9);
  EXPECT_NEAR(high.height.value(), 300, 1e-9);
  EXPECT_LE(high.height_where_thin, highest_hold);
  // A long slope is laid from higher up, at most twice as high.
  EXPECT_NEAR(free_fade([](double x, double) { return x / 120; }).bench.hold.height_where_thin.value(), 200,
              1e-9);
  // One edge of 12 mm: the ramp rises by 0.8 of the load in 0.8 * 15 mm. The splines round its ends.
  const FadeHold middling = free_fade([](double x, double) { return (x - 50) / 15; }).bench.hold;
  EXPECT_GT(middling.height_where_thin.value(), 12 * height_per_edge);
  EXPECT_LT(middling.height_where_thin.value(), 200);
}

TEST(FadeBench, OnlyFadesOfTheSeparationAreFound) {
  Laid laid = free_fade([](double x, double) { return x / 120; });
  EXPECT_EQ(fade_of(laid.separation, laid.layer), &laid.separation.fades[0]);
  laid.layer.step = 2;
  EXPECT_EQ(fade_of(laid.separation, laid.layer), nullptr);
  laid.layer.step = 1;
  laid.layer.technique = Technique::stencil;
  EXPECT_EQ(fade_of(laid.separation, laid.layer), nullptr);
}

}  // namespace
}  // namespace powderplan
