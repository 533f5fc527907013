#include "optics/slab.h"

#include "optics/kubelka_munk.h"
#include "optics/surface.h"
#include "property.h"

namespace powderplan {
namespace {

Slab flipped(const Slab& s) {
  return {s.reflect_below, s.transmit_up, s.reflect_above, s.transmit_down};
}

// Any passive slab: from each side, what is sent back and let through is at most what arrives.
Slab any_slab() {
  const double from_above = any_between(0, 0.98), from_below = any_between(0, 0.98);
  return {Spectrum::constant(from_above), Spectrum::constant(any_between(0, 1 - from_above)),
          Spectrum::constant(from_below), Spectrum::constant(any_between(0, 1 - from_below))};
}

void near(const Slab& one, const Slab& two) {
  RC_ASSERT(std::abs(one.reflect_above[0] - two.reflect_above[0]) < 1e-12);
  RC_ASSERT(std::abs(one.transmit_down[0] - two.transmit_down[0]) < 1e-12);
  RC_ASSERT(std::abs(one.reflect_below[0] - two.reflect_below[0]) < 1e-12);
  RC_ASSERT(std::abs(one.transmit_up[0] - two.transmit_up[0]) < 1e-12);
}

TEST(Over, DoesNotDependOnWhichTwoOfThreeAreJoinedFirst) {
  holds_always([] {
    const Slab a = any_slab(), b = any_slab(), c = any_slab();
    near(over(over(a, b), c), over(a, over(b, c)));
  });
}

TEST(Over, TurnedUpsideDownIsTheReverseStackOfTurnedSlabs) {
  holds_always([] {
    const Slab a = any_slab(), b = any_slab();
    near(flipped(over(a, b)), over(flipped(b), flipped(a)));
  });
}

TEST(Over, NothingIsTheNeutralElement) {
  const Slab nothing{Spectrum::constant(0), Spectrum::constant(1), Spectrum::constant(0),
                     Spectrum::constant(1)};
  holds_always([&] {
    const Slab a = any_slab();
    near(over(a, nothing), a);
    near(over(nothing, a), a);
  });
}

TEST(Over, NeverGivesMoreLightThanArrives) {
  holds_always([] {
    const Slab both = over(any_slab(), any_slab());
    RC_ASSERT(both.reflect_above[0] + both.transmit_down[0] <= 1 + 1e-12);
    RC_ASSERT(both.reflect_below[0] + both.transmit_up[0] <= 1 + 1e-12);
  });
}

TEST(Over, LosesNothingWhenNeitherAbsorbs) {
  const auto clear = [](double r) {
    return Slab{Spectrum::constant(r), Spectrum::constant(1 - r), Spectrum::constant(r),
                Spectrum::constant(1 - r)};
  };
  const Slab both = over(clear(0.3), clear(0.6));
  EXPECT_NEAR(both.reflect_above[0] + both.transmit_down[0], 1, 1e-15);
}

TEST(ReflectanceOver, IsThatOfASlabOnAnOpaqueOne) {
  holds_always([] {
    const Slab a = any_slab();
    const double g = any_between(0, 1);
    Slab opaque;
    opaque.reflect_above = Spectrum::constant(g);
    RC_ASSERT(std::abs(reflectance_over(a, Spectrum::constant(g))[3] - over(a, opaque).reflect_above[3]) <
              1e-14);
  });
}

}  // namespace
}  // namespace powderplan
