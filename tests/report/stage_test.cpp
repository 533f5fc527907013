#include "report/stage.h"

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "colour/observer.h"
#include "finished.h"
#include "problem.h"
#include "report/fixture.h"
#include "report/preview.h"

namespace powderplan {
namespace {

TEST(Stage, NeighboursOfOnePowderAndOneStateMakeOneLayer) {
  const PlanRecord plan = fixture::record();
  // Label {1, 2, 0}: white, and both loads of green.
  const std::vector<CoveringLayer> stack = stack_at(plan, fixture::spot_of(plan, 3), moment_finished(plan));
  ASSERT_EQ(stack.size(), 2u);
  const CoveringLayer both =
      covering_layer(plan.palette.powders[1].optics, Load(0.32), finished(Finish::full, Millimetres(0.12)));
  EXPECT_DOUBLE_EQ(stack[1].cover, both.cover);
  EXPECT_EQ(stack[1].reflect, both.reflect);
}

TEST(Stage, AnotherStateOrAPowderBetweenKeepsLoadsApart) {
  PlanRecord plan = fixture::record();
  // The first green is fired, the second lies loose on it.
  plan.firing_plan.places = {{0, false, ""}, {0, false, ""}, {1, false, ""}, {1, false, ""}};
  plan.firing_plan.firings.resize(2);
  plan.firing_plan.firings[0].layers = {0, 1};
  plan.firing_plan.firings[1].layers = {2, 3};
  EXPECT_EQ(stack_at(plan, fixture::spot_of(plan, 3), moment_before(plan, 1)).size(), 3u);
  // Fired flat, both are the same glass, however often they have been in the kiln.
  plan.firing_plan.firings[0].flow = Millimetres(0.04);
  plan.firing_plan.firings[1].flow = Millimetres(2.5);
  EXPECT_EQ(stack_at(plan, fixture::spot_of(plan, 3), moment_after(1)).size(), 2u);
  // With texture left, the one that has had more heat is the smoother one.
  plan.firing_plan.firings[1].flow = Millimetres(0.1);
  const std::vector<CoveringLayer> rough = stack_at(plan, fixture::spot_of(plan, 3), moment_after(1));
  ASSERT_EQ(rough.size(), 3u);
  EXPECT_LT(rough[1].matte, rough[2].matte);
}

TEST(Stage, ALayerCarriesTheHeatOfEveryFiringThatItGoesThrough) {
  PlanRecord plan = fixture::record();
  plan.firing_plan.firings.resize(3);
  plan.firing_plan.firings[0].flow = Millimetres(0.03);
  plan.firing_plan.firings[1].flow = Millimetres(2.5);
  plan.firing_plan.firings[2].flow = Millimetres(0.125);
  plan.firing_plan.places = {{0, false, ""}, {2, false, ""}, {1, false, ""}, {2, false, ""}};
  EXPECT_EQ(flow_after(plan, 0, 0), Millimetres(0)) << "loose";
  EXPECT_DOUBLE_EQ(flow_after(plan, 0, 1).value(), 0.03);
  EXPECT_DOUBLE_EQ(flow_after(plan, 0, 2).value(), 2.53);
  EXPECT_DOUBLE_EQ(flow_after(plan, 0, 3).value(), 2.655);
  EXPECT_DOUBLE_EQ(flow_after(plan, 1, 3).value(), 0.125);
  EXPECT_EQ(values_after(plan, 1, 3), fired_values(Millimetres(0.125), Millimetres(0.12)));
}

TEST(Stage, LayersOfLaterFiringsAreNotThereYet) {
  const PlanRecord plan = fixture::record();
  ASSERT_GE(plan.firing_plan.firings.size(), 2u);
  EXPECT_TRUE(stack_at(plan, fixture::spot_of(plan, 3), Moment{}).empty());
  EXPECT_EQ(stack_at(plan, fixture::spot_of(plan, 3), moment_after(0)).size(), 1u);
}

TEST(Stage, LayersDoneAreThoseOfTheFiringsDone) {
  PlanRecord plan = fixture::record();
  std::size_t layers = 0;
  for (std::size_t k = 0; k <= plan.firing_plan.firings.size(); ++k) {
    plan.firings_done = k;
    EXPECT_EQ(layers_done(plan), layers) << k;
    if (k < plan.firing_plan.firings.size())
      layers += plan.firing_plan.firings[k].layers.size();
  }
  EXPECT_EQ(layers, plan.layers.size());
}

TEST(Stage, ALightCopyLooksTheSameAndFollowsItsLoads) {
  PlanRecord plan = fixture::record();
  PlanRecord copy = light_copy(plan);
  EXPECT_EQ(copy.layers[0].amount.size(), 0u);
  const Moment moment = moment_finished(plan);
  EXPECT_EQ(spot_colours(copy, moment, View::wall), spot_colours(plan, moment, View::wall));
  plan.layers[1].load = copy.layers[1].load = plan.layers[1].load * 3;
  EXPECT_EQ(spot_colours(copy, moment, View::wall), spot_colours(plan, moment, View::wall));
}

TEST(Stage, AnUnknownLightIsRefused) {
  PlanRecord plan = fixture::record();
  plan.illuminant = "candle";
  EXPECT_THROW(light_of(plan), Problem);
}

TEST(Preview, EveryPointShowsItsSpot) {
  const PlanRecord plan = fixture::record();
  const Image<Rgb8> wall = fired_preview(plan, View::wall);
  const Observer see(illuminant_d65());
  for (const int x : {0, 20, 40, 63}) {
    const std::uint32_t spot = plan.spots.at().at(x, 30);
    const Spectrum spectrum = seen(ground_of(plan, View::wall), stack_at(plan, spot, moment_finished(plan)));
    EXPECT_EQ(wall.at(x, 30), to_rgb8(to_linear_rgb(see(spectrum)))) << x;
  }
}

// The colours by which a plan's error is measured are those that its preview shows.
TEST(Preview, ShowsTheColoursThatThePlanIsJudgedBy) {
  PlanRecord plan = fixture::record();
  plan.firing_plan.firings.back().flow = Millimetres(0.05);  // a texture is left, and grains differ
  for (const View view : {View::wall, View::window}) {
    plan.view = view;
    const Image<Rgb8> shown = fired_preview(plan, view);
    const Image<PackedLab> judged = finished_colours(plan);
    ASSERT_EQ(judged.size(), shown.size());
    for (std::size_t i = 0; i < shown.size(); i += 7)
      EXPECT_LT(ciede2000(to_lab(judged[i]), to_lab(shown[i])), 0.6) << i;
  }
}

TEST(Preview, AfterTheLastFiringThePieceIsFinished) {
  const PlanRecord plan = fixture::record();
  const Image<Rgb8> last = after_firing(plan, plan.firing_plan.firings.size() - 1, View::window);
  const Image<Rgb8> finished = fired_preview(plan, View::window);
  for (std::size_t i = 0; i < last.size(); ++i)
    ASSERT_EQ(last[i], finished[i]);
}

TEST(Preview, LoosePowderLooksPalerThanFired) {
  PlanRecord plan = fixture::record();
  plan.firing_plan.firings = {plan.firing_plan.firings.back()};
  plan.firing_plan.firings[0].layers = {0, 1, 2, 3};
  for (LayerPlace& place : plan.firing_plan.places)
    place.firing = 0;
  const Lab loose = to_lab(spot_colours(plan, moment_before(plan, 0), View::wall)[fixture::spot_of(plan, 3)]);
  const Lab fired = to_lab(spot_colours(plan, moment_after(0), View::wall)[fixture::spot_of(plan, 3)]);
  EXPECT_GT(loose.l, fired.l + 10);
  EXPECT_LT(std::hypot(loose.a, loose.b), std::hypot(fired.a, fired.b));
}

TEST(Preview, BarePointsOfTheTargetShowTheSheet) {
  PlanRecord plan = fixture::record();
  plan.bare = Image<std::uint8_t>(64, 48);
  plan.bare.at(5, 5) = 1;
  const Image<Rgb8> target = target_picture(plan);
  EXPECT_EQ(target.at(5, 5),
            spot_colours(plan, moment_finished(plan), View::wall)[fixture::spot_of(plan, 0)]);
  EXPECT_EQ(target.at(6, 5), plan.target.at(6, 5));
}

TEST(Preview, ShrinkingAveragesLightNotCodes) {
  Image<Rgb8> stripes(64, 4);
  for (int y = 0; y < 4; ++y) {
    for (int x = 0; x < 64; ++x)
      stripes.at(x, y) = x % 2 == 0 ? Rgb8{255, 255, 255} : Rgb8{0, 0, 0};
  }
  const Image<Rgb8> small = shrunk(stripes, 16);
  ASSERT_EQ(small.width(), 16);
  ASSERT_EQ(small.height(), 1);
  EXPECT_EQ(small.at(7, 0), (Rgb8{188, 188, 188}));  // half of the light, IEC 61966-2-1
  EXPECT_EQ(shrunk(stripes, 64).width(), 64);
  EXPECT_EQ(shrunk(Image<Rgb8>(2000, 1), 900).height(), 1);
}

}  // namespace
}  // namespace powderplan
