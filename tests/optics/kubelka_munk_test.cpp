#include "optics/kubelka_munk.h"

#include "property.h"

namespace powderplan {
namespace {

TEST(KubelkaMunk, WithoutScatteringIsExactlyBouguer) {
  holds_always([] {
    const double k = any_decade_between(1e-6, 1e3), load = any_decade_between(1e-4, 5);
    const LayerOptics layer = kubelka_munk(k, 0, load);
    RC_ASSERT(layer.reflect == 0);
    RC_ASSERT(std::abs(layer.transmit - std::exp(-k * load)) <= 1e-14);
  });
}

TEST(KubelkaMunk, WithoutAbsorptionIsExactlyItsLimit) {
  holds_always([] {
    const double s = any_decade_between(1e-6, 1e4), load = any_decade_between(1e-4, 5);
    const LayerOptics layer = kubelka_munk(0, s, load);
    RC_ASSERT(std::abs(layer.reflect - s * load / (1 + s * load)) <= 1e-14);
    RC_ASSERT(std::abs(layer.transmit - 1 / (1 + s * load)) <= 1e-14);
  });
}

TEST(KubelkaMunk, ReachesBothLimitsWithoutAStep) {
  for (const double small : {1e-4, 1e-8, 1e-12, 1e-16, 1e-300}) {
    EXPECT_NEAR(kubelka_munk(2, small, 0.75).transmit, std::exp(-1.5), small + 1e-15);
    EXPECT_NEAR(kubelka_munk(small, 2, 0.75).reflect, 1.5 / 2.5, small + 1e-15);
  }
}

TEST(KubelkaMunk, OfNothingIsNothing) {
  for (const auto& [k, s, load] : {std::array{0.0, 0.0, 1.0}, {3.0, 2.0, 0.0}, {0.0, 0.0, 0.0}}) {
    EXPECT_EQ(kubelka_munk(k, s, load).reflect, 0);
    EXPECT_EQ(kubelka_munk(k, s, load).transmit, 1);
  }
}

TEST(KubelkaMunk, StaysPhysicalOverAllDecades) {
  holds_always(
      [] {
        const double k = any_decade_between(1e-9, 1e6), s = any_decade_between(1e-9, 1e6);
        const LayerOptics layer = kubelka_munk(k, s, any_decade_between(1e-6, 1e3));
        RC_ASSERT(layer.reflect >= 0 && layer.transmit >= 0);
        RC_ASSERT(layer.reflect + layer.transmit <= 1 + 1e-12);
      },
      1000);
}

TEST(KubelkaMunk, HidesMoreTheHeavierItIs) {
  holds_always([] {
    const double k = any_decade_between(1e-3, 1e2), s = any_decade_between(1e-3, 1e2);
    const double load = any_decade_between(1e-3, 2);
    const LayerOptics light = kubelka_munk(k, s, load), heavy = kubelka_munk(k, s, load * 1.1);
    RC_ASSERT(heavy.transmit <= light.transmit);
    RC_ASSERT(heavy.reflect >= light.reflect - 1e-15);
  });
}

TEST(KubelkaMunk, AsASlabLooksTheSameFromBothSides) {
  const Slab slab = kubelka_munk(Spectrum::constant(1), Spectrum::constant(2), Load(0.5));
  EXPECT_EQ(slab.reflect_above, slab.reflect_below);
  EXPECT_EQ(slab.transmit_down, slab.transmit_up);
  EXPECT_EQ(slab.reflect_above[7], kubelka_munk(1, 2, 0.5).reflect);
  EXPECT_EQ(slab.transmit_up[7], kubelka_munk(1, 2, 0.5).transmit);
}

TEST(ThickLayer, IsTheLimitOfAHeavyOne) {
  holds_always([] {
    const double k = any_decade_between(1e-2, 1e2), s = any_decade_between(1e-2, 1e2);
    RC_ASSERT(std::abs(kubelka_munk(k, s, 1e5).reflect - reflectance_of_thick_layer(k, s)) < 1e-12);
  });
  EXPECT_EQ(reflectance_of_thick_layer(1, 0), 0);
  EXPECT_EQ(reflectance_of_thick_layer(0, 1), 1);
}

TEST(Inverse, FindsTheCoefficientsAgain) {
  holds_always(
      [] {
        const double load = any_decade_between(0.01, 2);
        // Optical thickness up to where a layer still lets light through that can be measured.
        const double k = any_decade_between(1e-3, 2) / load, s = any_decade_between(1e-3, 5) / load;
        const LayerOptics layer = kubelka_munk(k, s, load);
        const Coefficients found = kubelka_munk_inverse(layer.reflect, layer.transmit, load);
        RC_ASSERT(std::abs(found.k - k) < 1e-8 * (k + s));
        RC_ASSERT(std::abs(found.s - s) < 1e-8 * (k + s));
      },
      1000);
}

TEST(Inverse, FindsBothLimits) {
  const Coefficients clear = kubelka_munk_inverse(0, std::exp(-1.5), 0.75);
  EXPECT_NEAR(clear.k, 2, 1e-12);
  EXPECT_EQ(clear.s, 0);
  const Coefficients white = kubelka_munk_inverse(0.6, 0.4, 0.75);
  EXPECT_NEAR(white.k, 0, 1e-12);
  EXPECT_NEAR(white.s, 2, 1e-12);
  const Coefficients nothing = kubelka_munk_inverse(0, 1, 0.75);
  EXPECT_EQ(nothing.k, 0);
  EXPECT_EQ(nothing.s, 0);
}

TEST(Inverse, OfAnImpossibleReadingIsTheNearestLayer) {
  for (const auto& [r, t] :
       {std::pair{0.7, 0.5}, {1.0, 0.0}, {1.2, 0.1}, {-0.1, 0.5}, {0.5, -0.1}, {0.0, 0.0}, {0.0, 2.0}}) {
    const Coefficients found = kubelka_munk_inverse(r, t, 0.75);
    EXPECT_TRUE(std::isfinite(found.k) && std::isfinite(found.s)) << r << " " << t;
    EXPECT_GE(found.k, 0);
    EXPECT_GE(found.s, 0);
  }
}

TEST(TwoGrounds, GiveTheLayerBack) {
  holds_always(
      [] {
        const double k = any_decade_between(1e-3, 3), s = any_decade_between(1e-3, 5);
        const LayerOptics layer = kubelka_munk(k, s, 1);
        const double light = any_between(0.7, 0.98), dark = any_between(0, 0.2);
        const auto over = [&](double ground) {
          return layer.reflect + layer.transmit * layer.transmit * ground / (1 - layer.reflect * ground);
        };
        RC_PRE(layer.transmit > 0.02);
        const LayerOptics found = layer_from_two_grounds(over(light), over(dark), light, dark);
        RC_ASSERT(std::abs(found.reflect - layer.reflect) < 1e-9);
        RC_ASSERT(std::abs(found.transmit - layer.transmit) < 1e-7);
      },
      1000);
}

TEST(TwoGrounds, OfAnImpossibleReadingIsAPhysicalLayer) {
  holds_always([] {
    const LayerOptics found = layer_from_two_grounds(any_between(0, 1), any_between(0, 1),
                                                     any_between(0.5, 1), any_between(0, 0.4));
    RC_ASSERT(found.reflect >= 0 && found.reflect < 1);
    RC_ASSERT(found.transmit >= 0 && found.reflect + found.transmit <= 1 + 1e-12);
  });
}

}  // namespace
}  // namespace powderplan
