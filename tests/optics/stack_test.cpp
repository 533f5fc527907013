#include "optics/stack.h"

#include "finished.h"
#include "optics/any_ground.h"
#include "optics/grain.h"
#include "optics/kubelka_munk.h"
#include "optics/surface.h"
#include "property.h"

namespace powderplan {
namespace {

PowderOptics any_powder() {
  const Spectrum k = any_spectrum(0, 20), s = any_spectrum(0, 20);
  return {k, s, Millimetres(any_decade_between(0.03, 0.5))};
}

Finish any_finish() {
  return *rc::gen::element(Finish::unfired, Finish::tack, Finish::contour, Finish::full);
}

CoveringLayer any_layer() {
  const PowderOptics powder = any_powder();
  return covering_layer(powder, Load(any_decade_between(1e-4, 2)), finished(any_finish(), powder.grain));
}

Ground clear_over(double backing) {
  Ground ground;
  ground.sheet_load = full_load;
  ground.backing = Spectrum::constant(backing);
  return ground;
}

TEST(CoveringLayer, CarriesTheWholeLoadWhereItCovers) {
  const PowderOptics powder{Spectrum::constant(3), Spectrum::constant(0), Millimetres(0.1)};
  const CoveringLayer layer = covering_layer(powder, Load(0.01), finished(Finish::full, powder.grain));
  EXPECT_GT(layer.cover, 0.3);
  EXPECT_LT(layer.cover, 0.9);
  EXPECT_NEAR(layer.transmit[5], std::exp(-3 * 0.01 / layer.cover), 1e-14);
  EXPECT_EQ(layer.reflect[5], 0);
}

TEST(CoveringLayer, OfNoPowderIsNothing) {
  const PowderOptics powder{Spectrum::constant(3), Spectrum::constant(1), Millimetres(0.1)};
  const CoveringLayer layer = covering_layer(powder, Load(0), finished(Finish::tack, powder.grain));
  EXPECT_EQ(layer.cover, 0);
  EXPECT_EQ(layer.transmit, Spectrum::constant(1));
  const Ground ground = clear_over(0.8);
  EXPECT_EQ(seen(ground, std::span(&layer, 1)), seen(ground, {}));
}

TEST(CoveringLayer, ScattersMoreTheLessItIsFused) {
  const PowderOptics powder{Spectrum::constant(1), Spectrum::constant(1), Millimetres(0.1)};
  double before = 0;
  for (const double flow : {2.5, 0.05, 0.03, 0.01, 0.0}) {
    const double scatter =
        covering_layer(powder, full_load, fired_values(Millimetres(flow), powder.grain)).scatter[0];
    EXPECT_GT(scatter, before);
    before = scatter;
  }
}

TEST(Stack, NeverShowsMoreLightThanArrives) {
  holds_always([] {
    const Ground ground = any_ground();
    Stack stack(ground);
    for (int i = *rc::gen::inRange(0, 6); i > 0; --i)
      stack.lay(any_layer());
    for (const double share : stack.seen())
      RC_ASSERT(share >= 0 && share <= 1);
  });
}

// The order in which layers are laid is the order in which they lie.
TEST(Stack, ShowsTheTopLayerMost) {
  const PowderOptics white{Spectrum::constant(0), Spectrum::constant(100), Millimetres(0.05)};
  const PowderOptics black{Spectrum::constant(500), Spectrum::constant(0), Millimetres(0.05)};
  const FinishValues full = finished(Finish::full, white.grain);
  const CoveringLayer w = covering_layer(white, full_load, full), b = covering_layer(black, full_load, full);
  const std::vector<CoveringLayer> black_on_top{w, b}, white_on_top{b, w};
  const Ground ground = clear_over(0.5);
  EXPECT_LT(seen(ground, black_on_top)[0], 0.001);
  EXPECT_GT(seen(ground, white_on_top)[0], 0.9);
}

// A layer so heavy that nothing stays bare takes the place of what is below, in any number of layers.
TEST(Stack, OfManyFullyCoveringLayersStaysOneState) {
  const PowderOptics powder{Spectrum::constant(0.2), Spectrum::constant(0.3), Millimetres(0.1)};
  const FinishValues full = finished(Finish::full, powder.grain);
  const CoveringLayer layer = covering_layer(powder, Load(0.3), full);
  Slab expected = kubelka_munk(powder.k, powder.s, Load(0.3 * 40));
  const std::vector<CoveringLayer> forty(40, layer);
  const double inside = reflectance_over(expected, Spectrum::constant(0.5))[0];
  EXPECT_NEAR(seen(clear_over(0.5), forty)[0], seen_through(glass_surface(), inside, 0), 1e-6);
}

TEST(Stack, WindowThroughAScatteringStackIsTheSlabOperatorsAnswer) {
  holds_always([] {
    Ground ground = any_ground();
    ground.view = View::window;
    // So much scattering that no light goes straight through: both inner surfaces are then the diffuse one.
    ground.sheet_s = any_spectrum(60, 80);
    ground.sheet_load = Load(0.75);
    const Slab top = slab_of(glass_surface());
    const Slab bottom{top.reflect_below, top.transmit_up, top.reflect_above, top.transmit_down};
    const Slab sheet = kubelka_munk(ground.sheet_k, ground.sheet_s, ground.sheet_load);
    const Spectrum expected = over(top, over(sheet, bottom)).transmit_up;
    const Spectrum shown = seen(ground, {});
    for (std::size_t i = 0; i < band_count; ++i)
      RC_ASSERT(std::abs(shown[i] - expected[i]) < 1e-12);
  });
}

TEST(Stack, WindowDoesNotCareForTheBacking) {
  Ground ground = clear_over(0.1);
  ground.view = View::window;
  const Spectrum dark = seen(ground, {});
  ground.backing = Spectrum::constant(0.9);
  EXPECT_EQ(seen(ground, {}), dark);
}

TEST(Stack, SeenInOneCallIsSeenStepByStep) {
  holds_always([] {
    const Ground ground = any_ground();
    const std::vector<CoveringLayer> layers{any_layer(), any_layer()};
    Stack stack(ground);
    for (const CoveringLayer& layer : layers)
      stack.lay(layer);
    RC_ASSERT(stack.seen() == seen(ground, layers));
  });
}

}  // namespace
}  // namespace powderplan
