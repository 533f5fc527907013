// Sources: Kubelka 1948, J. Opt. Soc. Am. 38, 448 and 1954, J. Opt. Soc. Am. 44, 330: the differential
// equations of the two fluxes, and the law of stacked sheets. Both are solved here by other means.
#include "optics/kubelka_munk.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>

namespace powderplan {
namespace {

struct Flux {
  double down, up;
};

// From the bottom of the layer upwards: d(down)/dz = (k+s) down - s up, d(up)/dz = s down - (k+s) up,
// by the classical Runge-Kutta rule.
LayerOptics integrated(double k, double s, double load, double ground) {
  const auto slope = [&](Flux f) { return Flux{(k + s) * f.down - s * f.up, s * f.down - (k + s) * f.up}; };
  const auto moved = [](Flux f, Flux d, double h) { return Flux{f.down + h * d.down, f.up + h * d.up}; };
  constexpr int steps = 20000;
  const double h = load / steps;
  Flux f{1, ground};
  for (int i = 0; i < steps; ++i) {
    const Flux d1 = slope(f), d2 = slope(moved(f, d1, h / 2)), d3 = slope(moved(f, d2, h / 2)),
               d4 = slope(moved(f, d3, h));
    f.down += h / 6 * (d1.down + 2 * d2.down + 2 * d3.down + d4.down);
    f.up += h / 6 * (d1.up + 2 * d2.up + 2 * d3.up + d4.up);
  }
  return {f.up / f.down, 1 / f.down};
}

double over_ground(const LayerOptics& layer, double ground) {
  return layer.reflect + layer.transmit * layer.transmit * ground / (1 - layer.reflect * ground);
}

TEST(Kubelka1948, SolvesTheDifferentialEquations) {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> decade(-3, 1), load(0.05, 1.5), ground(0, 1);
  for (int i = 0; i < 60; ++i) {
    const double k = std::pow(10, decade(random)), s = std::pow(10, decade(random)), w = load(random);
    const LayerOptics layer = kubelka_munk(k, s, w);
    const LayerOptics black = integrated(k, s, w, 0);
    EXPECT_NEAR(layer.reflect, black.reflect, 1e-9) << k << " " << s << " " << w;
    EXPECT_NEAR(layer.transmit, black.transmit, 1e-9) << k << " " << s << " " << w;
    const double g = ground(random);
    EXPECT_NEAR(over_ground(layer, g), integrated(k, s, w, g).reflect, 1e-9);
  }
}

TEST(Kubelka1948, BothLimitsSolveTheDifferentialEquations) {
  EXPECT_NEAR(kubelka_munk(2, 0, 0.75).transmit, integrated(2, 0, 0.75, 0).transmit, 1e-10);
  EXPECT_NEAR(kubelka_munk(0, 2, 0.75).transmit, integrated(0, 2, 0.75, 0).transmit, 1e-10);
  EXPECT_NEAR(kubelka_munk(0, 2, 0.75).reflect, integrated(0, 2, 0.75, 0).reflect, 1e-10);
}

TEST(Kubelka1954, ALayerIsItsPartsStacked) {
  for (const auto& [k, s, w] :
       {std::array{1.0, 1.0, 1.0}, {0.1, 2.0, 1.0}, {2.0, 0.5, 0.5}, {3.0, 0.0, 0.75}, {0.0, 3.0, 0.75}}) {
    const LayerOptics whole = kubelka_munk(k, s, w);
    for (const int parts : {2, 3, 16, 64}) {
      const Slab part = kubelka_munk(Spectrum::constant(k), Spectrum::constant(s), Load(w / parts));
      Slab stack = part;
      for (int i = 1; i < parts; ++i)
        stack = over(stack, part);
      EXPECT_NEAR(stack.reflect_above[0], whole.reflect, 1e-13);
      EXPECT_NEAR(stack.transmit_down[0], whole.transmit, 1e-13);
      EXPECT_NEAR(stack.reflect_below[0], whole.reflect, 1e-13);
    }
  }
}

// Values worked out once from Kubelka's hyperbolic formulas and verified by integration; not published.
TEST(Kubelka1948, WorkedValues) {
  EXPECT_NEAR(kubelka_munk(1, 1, 1).reflect, 0.2601467170, 1e-10);
  EXPECT_NEAR(kubelka_munk(1, 1, 1).transmit, 0.1645887185, 1e-10);
  EXPECT_NEAR(over_ground(kubelka_munk(1, 1, 1), 0.8), 0.2875138498, 1e-10);
  EXPECT_NEAR(kubelka_munk(0.1, 1, 1).reflect, 0.4610336233, 1e-10);
  EXPECT_NEAR(kubelka_munk(0.1, 1, 1).transmit, 0.4452842133, 1e-10);
  EXPECT_NEAR(over_ground(kubelka_munk(0.1, 1, 1), 0.8), 0.7123472869, 1e-10);
  EXPECT_NEAR(kubelka_munk(0.1, 2, 1).reflect, 0.6186068465, 1e-10);
  EXPECT_NEAR(kubelka_munk(0.1, 2, 1).transmit, 0.2891367373, 1e-10);
  EXPECT_NEAR(over_ground(kubelka_munk(0.1, 2, 1), 0.04), 0.6220356929, 1e-10);
  EXPECT_NEAR(kubelka_munk(2, 0.5, 0.5).reflect, 0.0923800376, 1e-10);
  EXPECT_NEAR(over_ground(kubelka_munk(2, 0.5, 0.5), 0.5), 0.1367985785, 1e-10);
}

// Kubelka and Munk 1931: k/s = (1 - R)^2 / (2 R) of a layer that hides; so R = 0.5 for 0.25, 0.1 for 4.05.
TEST(KubelkaMunk1931, RatioOfAHidingLayer) {
  EXPECT_NEAR(reflectance_of_thick_layer(0.25, 1), 0.5, 1e-15);
  EXPECT_NEAR(reflectance_of_thick_layer(4.05, 1), 0.1, 1e-15);
  EXPECT_NEAR(kubelka_munk(4.05, 1, 100).reflect, 0.1, 1e-12);
  // T^2 = (a - R)^2 - b^2, Kubelka 1948.
  const LayerOptics layer = kubelka_munk(0.3, 0.7, 1.1);
  const double a = 1 + 0.3 / 0.7;
  EXPECT_NEAR(layer.transmit * layer.transmit, (a - layer.reflect) * (a - layer.reflect) - (a * a - 1),
              1e-14);
}

}  // namespace
}  // namespace powderplan
