// How far off predicted colours may be, by how well the powders are known: squares of one powder on clear
// sheet.
#include "report/expected_error.h"

#include <gtest/gtest.h>

#include "drawn_separation.h"
#include "firing/firing.h"
#include "optics/swatch.h"
#include "report/fixture.h"

namespace powderplan {
namespace {

constexpr std::size_t white = 0, green = 1, rust = 2;

// Stripes, from the left: bare, green at its swatch's load, rust, and green below rust.
PlanRecord stripes(Load of_rust = Load(0.35)) {
  PlanRecord plan;
  plan.palette = fixture::shelf();
  for (Powder& powder : plan.palette.powders)
    powder.expected_de00 = 0;
  plan.illuminant = "D65";
  plan.backing = Spectrum::constant(1);
  const Grid grid{Millimetres(1), 40, 10};
  plan.width = Millimetres(40);
  plan.height = Millimetres(10);
  plan.separation = drawn_separation(
      grid, {nest_of(green, {plan.palette.powders[green].swatch_load}), nest_of(rust, {of_rust})},
      {{0, 0}, {1, 0}, {0, 1}, {1, 1}}, [](int x, int) { return x / 10; });
  plan.layers = make_layers(plan.separation);
  plan.limits.most_loose_load = Load(2);
  plan.firing_plan = plan_firings(plan.layers, plan.palette.sheets[0], plan.palette, plan.limits);
  plan.spots = Spots(plan.layers, grid.width, grid.height);
  return plan;
}

struct Stripes {
  double bare, green_alone, rust_alone, covered;
};

Stripes errors_of(const PlanRecord& plan) {
  const Image<float> errors = expected_errors(plan, plan.separation.grid);
  const auto at = [&](int x) { return static_cast<double>(errors.at(x, 5)); };
  return {at(5), at(15), at(25), at(35)};
}

TEST(ExpectedErrors, AreNoneWherePowdersAreKnownExactly) {
  const Stripes errors = errors_of(stripes());
  EXPECT_EQ(errors.bare, 0);
  EXPECT_EQ(errors.green_alone, 0);
  EXPECT_EQ(errors.rust_alone, 0);
  EXPECT_EQ(errors.covered, 0);
}

TEST(ExpectedErrors, AFullLayerIsAsFarOffAsItsSwatch) {
  constexpr double own = 4;
  double sum = 0;
  for (const double backing : {white_ground, black_ground}) {
    PlanRecord plan = stripes();
    plan.backing = Spectrum::constant(backing);
    plan.palette.powders[green].expected_de00 = own;
    const Stripes errors = errors_of(plan);
    EXPECT_EQ(errors.bare, 0);
    EXPECT_EQ(errors.rust_alone, 0);
    sum += errors.green_alone;
  }
  // Within a tenth (ours): between swatch and backing there is glass here.
  EXPECT_NEAR(sum / 2, own, 0.1 * own);
}

TEST(ExpectedErrors, AnOpaqueLayerCoversThem) {
  PlanRecord plan = stripes();
  plan.palette.powders[green].expected_de00 = 4;
  const Stripes errors = errors_of(plan);
  EXPECT_GT(errors.covered, 0);
  EXPECT_LT(errors.covered, 0.25 * errors.green_alone);
  PlanRecord thin = stripes(Load(0.02));
  thin.palette.powders[green].expected_de00 = 4;
  EXPECT_GT(errors_of(thin).covered, errors.covered) << "a thin one covers less";
}

TEST(ExpectedErrors, GrowWithThePowdersOwn) {
  double before = 0;
  for (const double own : {1.0, 2.0, 4.0, 8.0}) {
    PlanRecord plan = stripes();
    plan.palette.powders[green].expected_de00 = own;
    const double now = errors_of(plan).green_alone;
    EXPECT_GT(now, 1.5 * before) << own;
    before = now;
  }
}

TEST(ExpectedErrors, OfSeveralPowdersAddUpAsSquares) {
  PlanRecord one = stripes(Load(0.05)), other = one, both = one;
  one.palette.powders[green].expected_de00 = both.palette.powders[green].expected_de00 = 3;
  other.palette.powders[rust].expected_de00 = both.palette.powders[rust].expected_de00 = 5;
  const double a = errors_of(one).covered, b = errors_of(other).covered;
  ASSERT_GT(a, 0.1);
  ASSERT_GT(b, 0.1);
  EXPECT_NEAR(errors_of(both).covered, std::hypot(a, b), 1e-4);
}

TEST(ExpectErrors, FillsInLayersRegionsAndTheWhole) {
  PlanRecord plan = stripes();
  plan.palette.powders[rust].expected_de00 = 5;
  expect_errors(plan);
  const Stripes errors = errors_of(plan);
  const Layer* rusty = nullptr;
  const Layer* greenish = nullptr;
  for (const Layer& layer : plan.layers)
    (layer.powder == rust ? rusty : greenish) = &layer;
  ASSERT_TRUE(rusty != nullptr && greenish != nullptr);
  EXPECT_NEAR(rusty->expected_de00, (errors.rust_alone + errors.covered) / 2, 1e-4);
  EXPECT_NEAR(greenish->expected_de00, errors.covered / 2, 1e-4);
  EXPECT_NEAR(plan.fidelity.expected_de00, (errors.rust_alone + errors.covered) / 4, 1e-4);
  ASSERT_EQ(greenish->regions.size(), 2u) << "the second is below the rust";
  for (const Region& region : greenish->regions)
    EXPECT_NEAR(region.expected_de00, region.centre.x > 20 ? errors.covered : 0, 1e-4);
}

TEST(ExpectErrors, ThePaletteIsLeftAsItIs) {
  PlanRecord plan = stripes();
  plan.palette.powders[white].expected_de00 = plan.palette.powders[green].expected_de00 = 6;
  const Palette before = plan.palette;
  expect_errors(plan);
  for (std::size_t i = 0; i < before.powders.size(); ++i)
    for (std::size_t band = 0; band < band_count; ++band)
      EXPECT_EQ(plan.palette.powders[i].optics.k[band], before.powders[i].optics.k[band]);
}

}  // namespace
}  // namespace powderplan
