// Random grains. Sources: the Boolean model of Poisson discs (Stoyan, Kendall, Mecke, Stochastic Geometry and
// its Applications), whose covered share is 1 - exp(-discs per area * area of one); Demichel 1924 and
// Neugebauer 1937 for layers that each cover in part.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

#include "finished.h"
#include "optics/grain.h"
#include "optics/stack.h"
#include "optics/surface.h"

namespace powderplan {
namespace {

TEST(BooleanModel, Table) {
  const Millimetres grain(0.12);
  const Load once = load_of_one_cover(grain);
  // exp(-x) to seven figures.
  for (const auto& [covers, share] :
       {std::pair{0.5, 0.3934693}, {1.0, 0.6321206}, {2.0, 0.8646647}, {3.0, 0.9502129}, {5.0, 0.9932621}})
    EXPECT_NEAR(covered_share(once * covers, grain, 1), share, 5e-8);
  for (const auto& [covers, share] :
       {std::pair{2.302585, 0.90}, {2.995732, 0.95}, {4.605170, 0.99}, {6.907755, 0.999}})
    EXPECT_NEAR(covered_share(once * covers, grain, 1), share, 1e-7);
}

// Throws spheres of glass, counted by their weight, on a square and asks whether its middle lies in a shadow.
TEST(BooleanModel, SimulationOfFallingGrains) {
  constexpr double density = 2.5, grain_mm = 0.15;
  constexpr double radius = grain_mm / 20;  // cm
  const double grain_mass = density * 4.0 / 3.0 * std::numbers::pi * radius * radius * radius;
  const double half = 2 * radius, area = 4 * half * half;
  std::mt19937_64 random(20240229);
  std::uniform_real_distribution<double> place(-half, half);
  for (const double load : {0.005, 0.0125, 0.025, 0.05, 0.1}) {
    for (const double spread : {1.0, 1.59}) {
      std::poisson_distribution<int> grains(load / grain_mass * area);
      constexpr int throws = 40000;
      int covered = 0;
      for (int i = 0; i < throws; ++i) {
        bool hit = false;
        for (int n = grains(random); n > 0; --n) {
          const double x = place(random), y = place(random);
          hit = hit || x * x + y * y < radius * radius * spread;
        }
        covered += hit ? 1 : 0;
      }
      const double share = covered_share(Load(load), Millimetres(grain_mm), spread);
      const double sigma = std::sqrt(share * (1 - share) / throws);
      EXPECT_NEAR(static_cast<double>(covered) / throws, share, 3 * sigma)
          << load << " g/cm2, spread " << spread;
    }
  }
}

struct Covering {
  double share, reflect, transmit;
};

// The classical formulas written out, for one band.
double on(const Covering& layer, double ground) {
  return layer.reflect + layer.transmit * layer.transmit * ground / (1 - layer.reflect * ground);
}
double saunderson(double inside, double matte) {
  const double k1 = 0.04, k2 = glass_surface().inner;
  return matte * k1 + (1 - k1) * (1 - k2) * inside / (1 - k2 * inside);
}

TEST(Demichel1924, TwoLayersAreFourStates) {
  const PowderOptics red{Spectrum::constant(6), Spectrum::constant(2), Millimetres(0.1)};
  const PowderOptics blue{Spectrum::constant(15), Spectrum::constant(0.5), Millimetres(0.14)};
  Ground ground;
  ground.sheet_load = full_load;
  ground.backing = Spectrum::constant(0.8);
  for (const double load : {0.002, 0.01, 0.03}) {
    const CoveringLayer a = covering_layer(red, Load(load), finished(Finish::contour, red.grain));
    const CoveringLayer b = covering_layer(blue, Load(0.012), finished(Finish::tack, blue.grain));
    const Covering first{a.cover, a.reflect[9], a.transmit[9]}, second{b.cover, b.reflect[9], b.transmit[9]};
    const double bare = 0.8;
    const double expected = (1 - first.share) * (1 - second.share) * saunderson(bare, 0) +
                            first.share * (1 - second.share) * saunderson(on(first, bare), a.matte) +
                            (1 - first.share) * second.share * saunderson(on(second, bare), b.matte) +
                            first.share * second.share * saunderson(on(second, on(first, bare)), b.matte);
    const std::vector<CoveringLayer> layers{a, b};
    EXPECT_NEAR(seen(ground, layers)[9], expected, 1e-12) << load;
    EXPECT_GT(first.share, 0.05);
    EXPECT_LT(second.share, 0.95);
  }
}

// With grains that hide, only the topmost counts: each colour weighted by the share it shows.
TEST(Neugebauer1937, OpaqueGrainsMixByArea) {
  const PowderOptics white{Spectrum::constant(0), Spectrum::constant(1e6), Millimetres(0.1)};
  const PowderOptics black{Spectrum::constant(1e6), Spectrum::constant(0), Millimetres(0.1)};
  const FinishValues full = finished(Finish::full, Millimetres(0.1));
  const std::vector<CoveringLayer> layers{covering_layer(white, Load(0.01), full),
                                          covering_layer(black, Load(0.006), full)};
  Ground ground;
  ground.sheet_load = full_load;
  ground.backing = Spectrum::constant(0.5);
  const double w = layers[0].cover, b = layers[1].cover;
  const double expected = (1 - b) * (w * saunderson(1, 0) + (1 - w) * saunderson(0.5, 0));
  // 1e6 is not infinite: the white lets about 1e-4 through.
  EXPECT_NEAR(seen(ground, layers)[0], expected, 5e-4);
}

}  // namespace
}  // namespace powderplan
