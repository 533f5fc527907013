#include "report/stage.h"

#include <gtest/gtest.h>

#include "colour/observer.h"
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
  const CoveringLayer both = covering_layer(plan.palette.powders[1].optics, Load(0.32),
                                            finish_values(Finish::full, Millimetres(0.12)));
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
  // Once the second firing is over, all have seen its heat.
  EXPECT_EQ(stack_at(plan, fixture::spot_of(plan, 3), moment_after(1)).size(), 2u);
}

TEST(Stage, TheHottestFiringOfALayersLifeCounts) {
  PlanRecord plan = fixture::record();
  plan.firing_plan.firings.resize(3);
  plan.firing_plan.firings[0].finish = Finish::tack;
  plan.firing_plan.firings[1].finish = Finish::full;
  plan.firing_plan.firings[2].finish = Finish::contour;
  plan.firing_plan.places = {{0, false, ""}, {2, false, ""}, {1, false, ""}, {2, false, ""}};
  EXPECT_EQ(finish_after(plan, 0, 1), Finish::tack);
  EXPECT_EQ(finish_after(plan, 0, 2), Finish::full);
  EXPECT_EQ(finish_after(plan, 0, 3), Finish::full);
  EXPECT_EQ(finish_after(plan, 1, 3), Finish::contour);
  EXPECT_EQ(values_after(plan, 1, 3), finish_values(Finish::contour, Millimetres(0.12)));
}

TEST(Stage, LayersOfLaterFiringsAreNotThereYet) {
  const PlanRecord plan = fixture::record();
  ASSERT_GE(plan.firing_plan.firings.size(), 2u);
  EXPECT_TRUE(stack_at(plan, fixture::spot_of(plan, 3), Moment{}).empty());
  EXPECT_EQ(stack_at(plan, fixture::spot_of(plan, 3), moment_after(0)).size(), 1u);
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
