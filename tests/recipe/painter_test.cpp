#include "recipe/painter.h"

#include "shelf.h"

namespace powderplan {
namespace {

Finish any_finish() {
  return *rc::gen::element(Finish::unfired, Finish::tack, Finish::contour, Finish::full);
}

Millimetres any_flow() {
  return Millimetres(any_decade_between(1e-4, 10));
}

TEST(GroundOf, CarriesTheSheetByWeight) {
  Sheet sheet = clear_sheet();
  sheet.thickness = Millimetres(4);
  sheet.s = Spectrum::constant(0.7);
  const Ground ground = ground_of(sheet, Density(2.4), View::window, Spectrum::constant(0.3));
  EXPECT_EQ(ground.view, View::window);
  EXPECT_DOUBLE_EQ(ground.sheet_load.value(), 0.96);
  EXPECT_EQ(ground.sheet_k, sheet.k);
  EXPECT_EQ(ground.sheet_s, sheet.s);
  EXPECT_EQ(ground.backing, Spectrum::constant(0.3));
}

TEST(Painter, SeesWhatTheStackShows) {
  holds_always([] {
    const Ground ground = clear_ground(*rc::gen::element(View::wall, View::window));
    const Millimetres flow = any_flow();
    const Palette& shelf = small_shelf();
    const Recipe recipe = any_recipe(4);
    Stack stack(ground);
    for (const Dose& dose : recipe) {
      const PowderOptics& optics = shelf.powders[dose.powder].optics;
      const FinishValues values = fired_values(flow, optics.grain, shelf.glass.density);
      stack.lay(covering_layer(optics, dose.load, values, shelf.glass.density));
    }
    const Painter painter(shelf, ground, flow, daylight_observer());
    RC_ASSERT(painter.xyz(recipe) == daylight_observer()(stack.seen()));
    RC_ASSERT(painter.lab(recipe) == to_lab(painter.xyz(recipe)));
  });
}

// Two powders of one colour, one of them coarse: the same heat leaves the coarse one rougher.
TEST(Painter, TakesEachPowderByItsOwnGrain) {
  Palette shelf = small_shelf();
  shelf.powders.push_back(shelf.powders[black]);
  shelf.powders.back().optics.grain = Millimetres(0.3);
  const Painter painter(shelf, clear_ground(), flow_for(Finish::tack, Millimetres(0.1)), daylight_observer());
  const double fine = painter.lab({{black, full_load}}).l;
  const double coarse = painter.lab({{shelf.powders.size() - 1, full_load}}).l;
  EXPECT_GT(coarse, fine + 5);
}

TEST(Painter, SeesTheBareSheetWhereNothingLies) {
  for (const View view : {View::wall, View::window}) {
    const Ground ground = clear_ground(view);
    const Painter painter(small_shelf(), ground, flow_for(Finish::tack, Millimetres(0.1)),
                          daylight_observer());
    EXPECT_EQ(painter.xyz({}), daylight_observer()(seen(ground, {})));
    EXPECT_EQ(painter.xyz({}), painter.look(painter.bare()));
    EXPECT_EQ(painter.xyz({{red, Load(0)}}), painter.xyz({}));
  }
}

TEST(Painter, KeepsTheOrderOfARecipe) {
  const Painter painter = small_painter();
  const double black_on_top = painter.lab({{white, full_load}, {black, full_load}}).l;
  const double white_on_top = painter.lab({{black, full_load}, {white, full_load}}).l;
  EXPECT_LT(black_on_top, 10);
  EXPECT_GT(white_on_top, 80);
}

// A recipe's colour is the mean, over which of its layers cover, of fully covered stacks.
TEST(Painter, MixesTheCoveredStacksByTheirShares) {
  holds_always([] {
    const Painter painter = small_painter(any_finish());
    const Recipe two{{red, Load(any_decade_between(0.005, 0.1))},
                     {blue, Load(any_decade_between(0.005, 0.1))}};
    const CoveringLayer a = painter.layer(two[0]), b = painter.layer(two[1]);
    const Xyz none = painter.look(painter.bare());
    const Xyz only_a = painter.look(painter.laid(painter.bare(), a));
    const Xyz only_b = painter.look(painter.laid(painter.bare(), b));
    const Xyz both = painter.look(painter.laid(painter.laid(painter.bare(), a), b));
    const Xyz mean = none * ((1 - a.cover) * (1 - b.cover)) + only_a * (a.cover * (1 - b.cover)) +
                     only_b * ((1 - a.cover) * b.cover) + both * (a.cover * b.cover);
    const Xyz whole = painter.xyz(two);
    RC_ASSERT(std::abs(mean.x - whole.x) < 1e-6);
    RC_ASSERT(std::abs(mean.y - whole.y) < 1e-6);
    RC_ASSERT(std::abs(mean.z - whole.z) < 1e-6);
  });
}

}  // namespace
}  // namespace powderplan
