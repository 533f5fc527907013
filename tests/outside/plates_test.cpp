// Surfaces and clear plates. Fresnel's equations are integrated here; the sources of the closed forms are
// Walsh 1926 and Duntley 1942 (J. Opt. Soc. Am. 32, 61), Saunderson 1942 (J. Opt. Soc. Am. 32, 727), Allen
// 1980, Stokes 1862, Smith (Modern Optical Engineering, chapter 10).
#include <gtest/gtest.h>

#include <cmath>
#include <utility>

#include "optics/kubelka_munk.h"
#include "optics/stack.h"
#include "optics/surface.h"

namespace powderplan {
namespace {

// Reflection of unpolarised light by Fresnel's equations, from index n1 into n2.
double fresnel(double cosine, double n1, double n2) {
  const double sine = n1 / n2 * std::sqrt(1 - cosine * cosine);
  if (sine >= 1)
    return 1;
  const double beyond = std::sqrt(1 - sine * sine);
  const double s = (n1 * cosine - n2 * beyond) / (n1 * cosine + n2 * beyond);
  const double p = (n1 * beyond - n2 * cosine) / (n1 * beyond + n2 * cosine);
  return (s * s + p * p) / 2;
}

// Diffuse light: the integral of 2 cos R d(cos), by the midpoint rule.
double diffuse(double n1, double n2) {
  constexpr int steps = 2000000;
  double sum = 0;
  for (int i = 0; i < steps; ++i) {
    const double c = (i + 0.5) / steps;
    sum += 2 * c * fresnel(c, n1, n2);
  }
  return sum / steps;
}

// Values of iadpython's own tests: the integrand above is Fresnel's.
TEST(Fresnel, PublishedValuesOfTheIntegrand) {
  EXPECT_NEAR(fresnel(0.5, 1, 1.5), 0.0891867128, 1e-10);
  EXPECT_NEAR(fresnel(0.2, 1, 1.5), 0.338894, 1e-6);
  EXPECT_NEAR(fresnel(0.8, 1.5, 1), 0.11414110022, 1e-11);
}

TEST(Fresnel, NormalIncidence) {
  EXPECT_NEAR(fresnel_normal(1.5), 0.04, 1e-15);
  EXPECT_NEAR(fresnel_normal(1.5), fresnel(1, 1, 1.5), 1e-15);
  EXPECT_NEAR(fresnel_normal(1.52), 0.04258, 1e-6);
}

TEST(Duntley1942, DiffuseReflectionIsTheIntegralOverAllAngles) {
  for (const double n : {1.3, 1.5, 1.6}) {
    EXPECT_NEAR(diffuse_reflection_outside(n), diffuse(1, n), 1e-8) << n;
    EXPECT_NEAR(diffuse_reflection_inside(n), diffuse(n, 1), 1e-7) << n;
  }
}

// Egan and Hilgeman's polynomial for the inside, d'Eon and Irving's for the outside (as mitsuba3 has them);
// each is stated to be good to about 0.1 %.
TEST(EganHilgeman, PolynomialsAgree) {
  for (const double n : {1.3, 1.4, 1.5, 1.6}) {
    const double inside = -1.4399 / (n * n) + 0.7099 / n + 0.6681 + 0.0636 * n;
    EXPECT_NEAR(diffuse_reflection_inside(n), inside, 0.0012 * inside) << n;
    const double outside = 0.919317 - 3.4793 / n + 6.75335 / (n * n) - 7.80989 / std::pow(n, 3) +
                           4.98554 / std::pow(n, 4) - 1.36881 / std::pow(n, 5);
    EXPECT_NEAR(diffuse_reflection_outside(n), outside, 0.001 * outside) << n;
  }
}

// Allen 1980 equation 24 with k1 = 0.04, k2 = 0.596.
TEST(Saunderson1942, PublishedForm) {
  const Surface surface{0.04, 0.596};
  for (const auto& [inside, outside] :
       {std::pair{0.0, 0.04}, {0.25, 0.1539365}, {0.5, 0.3162393}, {0.75, 0.5660036}, {1.0, 1.0}})
    EXPECT_NEAR(seen_through(surface, inside, 1), outside, 5e-8);
}

TEST(Saunderson1942, IsASurfaceStackedOnAnOpaqueGround) {
  for (int twentieths = 0; twentieths < 20; ++twentieths) {
    const double inside = twentieths / 20.0;
    const Spectrum stacked = reflectance_over(slab_of(glass_surface()), Spectrum::constant(inside));
    EXPECT_NEAR(seen_through(glass_surface(), inside, 1), stacked[0], 1e-14);
  }
}

Slab plate(double inside_transmittance) {
  const double r = fresnel_normal(1.5);
  const Slab entering{Spectrum::constant(r), Spectrum::constant(1 - r), Spectrum::constant(r),
                      Spectrum::constant(1 - r)};
  const Slab body{Spectrum::constant(0), Spectrum::constant(inside_transmittance), Spectrum::constant(0),
                  Spectrum::constant(inside_transmittance)};
  return over(entering, over(body, entering));
}

// Stokes 1862: m plates send back 2 m r / (1 + (2 m - 1) r).
TEST(Stokes1862, PilesOfPlates) {
  Slab pile = plate(1);
  for (int m = 1; m <= 10; ++m) {
    EXPECT_NEAR(pile.reflect_above[0], 2 * m * 0.04 / (1 + (2 * m - 1) * 0.04), 1e-14) << m;
    EXPECT_NEAR(pile.transmit_down[0], 1 - pile.reflect_above[0], 1e-14) << m;
    pile = over(pile, plate(1));
  }
  EXPECT_NEAR(plate(1).reflect_above[0], 1.0 / 13, 1e-15);
}

// A clear sheet in a window, by the whole of the program's model: absorbing, not scattering.
double through_clear_sheet(double inside_transmittance) {
  Ground ground;
  ground.view = View::window;
  ground.sheet_load = full_load;
  ground.sheet_k = Spectrum::constant(-std::log(inside_transmittance) / full_load.value());
  return seen(ground, {})[15];
}

// Smith, equation 10.6: T = 2 n / (n^2 + 1) of a clear plate; the absorbing plate by the same sum.
TEST(Smith, PlateInAWindow) {
  EXPECT_NEAR(through_clear_sheet(1), 2 * 1.5 / (1.5 * 1.5 + 1), 1e-14);
  EXPECT_NEAR(through_clear_sheet(0.9), 0.8305163, 1e-7);
  EXPECT_NEAR(through_clear_sheet(0.9), plate(0.9).transmit_up[0], 1e-14);
  EXPECT_NEAR(through_clear_sheet(0.5), 0.4609844, 1e-7);
}

// Smith, chapter 10: glass that lets 25 % through per mm lets 1.56 % through 3 mm.
TEST(LambertBouguer, SmithsThreeMillimetres) {
  const double k = -std::log(0.25) / load_of_sheet(Millimetres(1)).value();
  EXPECT_NEAR(kubelka_munk(k, 0, load_of_sheet(Millimetres(3)).value()).transmit, 0.0156, 5e-5);
}

// A worked example for filter glass: T = 0.598 at 1 mm with a reflection factor P = 0.911 means 0.656 inside;
// at 2.2 mm it is 0.396 inside and T = 0.361.
TEST(LambertBouguer, FilterGlassAtAnotherThickness) {
  const double inside_1mm = 0.598 / 0.911;
  EXPECT_NEAR(inside_1mm, 0.656, 5e-4);
  const double k = -std::log(inside_1mm) / load_of_sheet(Millimetres(1)).value();
  const double inside = kubelka_munk(k, 0, load_of_sheet(Millimetres(2.2)).value()).transmit;
  EXPECT_NEAR(inside, 0.396, 5e-4);
  EXPECT_NEAR(0.911 * inside, 0.361, 5e-4);
}

// EN 572-1: 2.5 kg for each square metre and millimetre; so a sheet of 300 x 200 x 3 mm weighs 0.450 kg.
TEST(En572, MassOfSheet) {
  EXPECT_NEAR(load_of_sheet(Millimetres(1)).value() * 10000 / 1000, 2.5, 1e-12);
  EXPECT_NEAR(load_of_sheet(Millimetres(3)).value() * 30 * 20, 450, 1e-9);
  EXPECT_DOUBLE_EQ(full_load.value(), 0.75);
}

}  // namespace
}  // namespace powderplan
