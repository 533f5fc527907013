#include "optics/load_curve.h"

#include <algorithm>

#include "optics/grain.h"
#include "optics/kubelka_munk.h"
#include "optics/stack.h"
#include "property.h"

namespace powderplan {
namespace {

TEST(LoadCurve, WithoutPointsEveryLoadIsWorthItself) {
  for (const double load : {0.0, 0.01, 0.3, 5.0})
    EXPECT_EQ(LoadCurve()(Load(load)), Load(load));
}

TEST(LoadCurve, PassesThroughItsPointsAndKeepsTheRatiosOfItsEnds) {
  const LoadCurve curve({{Load(0.1), Load(0.15)}, {Load(0.4), Load(0.3)}});
  EXPECT_EQ(curve(Load(0)), Load(0));
  EXPECT_NEAR(curve(Load(0.05)).value(), 0.075, 1e-15);
  EXPECT_NEAR(curve(Load(0.1)).value(), 0.15, 1e-15);
  EXPECT_NEAR(curve(Load(0.2)).value(), 0.15 * std::sqrt(2.0), 1e-15);  // half way in the logarithms
  EXPECT_NEAR(curve(Load(0.4)).value(), 0.3, 1e-15);
  EXPECT_NEAR(curve(Load(0.8)).value(), 0.6, 1e-15);
}

// A powder whose strength goes by a power of the load is met everywhere by any two of its points.
TEST(LoadCurve, MeetsAPowerOfTheLoadBetweenItsPoints) {
  holds_always([] {
    const double power = any_between(0.5, 1.5), low = any_decade_between(0.01, 0.1),
                 high = any_between(0.2, 1);
    const LoadCurve curve(
        {{Load(low), Load(std::pow(low, power))}, {Load(high), Load(std::pow(high, power))}});
    const double load = any_between(low, high);
    RC_ASSERT(std::abs(curve(Load(load)).value() / std::pow(load, power) - 1) < 1e-12);
  });
}

TEST(LoadCurve, RisesWithoutABreak) {
  holds_always([] {
    std::vector<LoadPoint> points;
    LoadPoint last{Load(0), Load(0)};
    const int count = any_whole(1, 7);
    for (int i = 0; i < count; ++i) {
      last = {last.load + Load(any_decade_between(1e-3, 0.3)),
              last.effective + Load(any_decade_between(1e-3, 0.3))};
      points.push_back(last);
    }
    const LoadCurve curve(points);
    const double at = any_between(0, 1.5 * last.load.value());
    constexpr double step = 1e-9;
    const double before = curve(Load(at)).value(), after = curve(Load(at + step)).value();
    RC_ASSERT(after > before);
    // No slope is steeper than its piece's: at most the ratio of two far ends of what was generated.
    RC_ASSERT(after - before < 1e4 * step);
  });
}

PowderOptics some_powder() {
  PowderOptics powder;
  powder.k = Spectrum::constant(2);
  powder.s = Spectrum::constant(5);
  powder.grain = Millimetres(0.1);
  return powder;
}

// The curve changes how strong the covered part is, not how much is covered.
TEST(CoveringLayer, IsAsStrongAsTheCurveSays) {
  PowderOptics powder = some_powder();
  const FinishValues full = fired_values(Millimetres(3), powder);
  const CoveringLayer plain = covering_layer(powder, Load(0.02), full);
  powder.curve = LoadCurve({{Load(0.02), Load(0.03)}});
  const CoveringLayer stronger = covering_layer(powder, Load(0.02), full);
  EXPECT_EQ(stronger.cover, plain.cover);
  ASSERT_LT(plain.cover, 0.95);
  const LayerOptics by_hand = kubelka_munk(2, 5, 0.03 / plain.cover);
  EXPECT_NEAR(stronger.reflect[7], by_hand.reflect, 1e-12);
  EXPECT_NEAR(stronger.transmit[7], by_hand.transmit, 1e-12);
  EXPECT_NEAR(stronger.scatter[7], 5 * 0.03 / plain.cover, 1e-12);
}

// The spreading changes how much is covered; the whole load lies there.
TEST(CoveringLayer, CoversByThePowdersOwnSpreading) {
  PowderOptics powder = some_powder();
  const double usual = fired_values(Millimetres(3), powder.grain).spread;
  powder.spreads = 1.3;
  const FinishValues values = fired_values(Millimetres(3), powder);
  EXPECT_NEAR(values.spread, 1.3 * usual, 1e-15);
  const CoveringLayer layer = covering_layer(powder, Load(0.01), values);
  EXPECT_NEAR(layer.cover, 1 - std::exp(-1.3 * usual * 0.01 / load_of_one_cover(powder.grain).value()),
              1e-12);
  EXPECT_NEAR(layer.transmit[3], kubelka_munk(2, 5, 0.01 / layer.cover).transmit, 1e-12);
}

}  // namespace
}  // namespace powderplan
