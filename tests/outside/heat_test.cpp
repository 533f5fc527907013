// Sintering and levelling against the closed forms of their sources, evaluated here on their own.
//   Frenkel 1945, J. Phys. (USSR) 9, 385; Mackenzie and Shuttleworth 1949, Proc. Phys. Soc. B 62, 833; both
//   as in Prado, Zanotto and Mueller 2001, J. Non-Cryst. Solids 279, 169; Orchard 1962, Appl. Sci. Res. A 11,
//   451. Surface tension 0.315 N/m (Parikh 1958). No worked example is published: numbers are computed from
//   the formulas outside of this program.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "firing/schedule.h"
#include "optics/finish.h"
#include "optics/levelling.h"
#include "optics/sintering.h"

namespace powderplan {
namespace {

constexpr double tension = 0.315;  // N/m

// Of a hold at one viscosity.
Millimetres flow(double pa_s, double seconds) {
  return Millimetres(1000 * tension * seconds / pa_s);
}

// 10^8 Pa.s, r = 50 um, 600 s: dL/L = 0.014175, relative density 0.6 -> 0.6262558, x/r = 0.2381176.
TEST(Frenkel1945, ShrinkageAndNeck) {
  const Millimetres grain(0.1);
  EXPECT_NEAR(relative_density(flow(1e8, 600), grain), 0.6262558, 1e-6);
  EXPECT_NEAR(std::pow(loose_density / relative_density(flow(1e8, 600), grain), 1.0 / 3), 1 - 0.014175, 1e-9);
  EXPECT_NEAR(std::pow(loose_density / relative_density(flow(1e6, 2), grain), 1.0 / 3), 1 - 0.14175 / 30,
              1e-9);
  // The spread of a grain begins as the area of its neck: (x/r)^2 of the way to flush.
  const double way = (fired_values(flow(1e8, 600), grain).spread - 1) / (std::cbrt(4.0) - 1);
  EXPECT_NEAR(-std::log1p(-way), 0.2381176 * 0.2381176, 1e-6);
}

// rho0 = 0.9, 10^6 Pa.s, pores of 5 um, 30 s: 0.9941281. Here pores have 0.30 radii of a grain, so the grain
// is the one whose pores are 5 um.
TEST(MackenzieShuttleworth1949, ClosedPores) {
  const Millimetres grain(2 * 0.005 / pore_radius_share());
  const Millimetres at_90 = flow_to_fuse((0.9 - loose_density) / (1 - loose_density), grain);
  EXPECT_NEAR(relative_density(at_90, grain), 0.9, 1e-12);
  EXPECT_NEAR(relative_density(at_90 + flow(1e6, 30), grain), 0.9941281, 1e-6);
}

// Orchard's rate, straight from the formula in extended precision, against the function; then its two limits.
TEST(Orchard1962, FullFormula) {
  for (const double kh : {1e-3, 0.01, 0.02, 0.03, 0.1, 0.5, 1.0, 2.0, 5.0, 20.0, 29.0}) {
    const long double x = 2.0L * kh;
    const long double share = (std::sinh(x) - x) / (std::cosh(x) + 1.0L + x * x / 2.0L);
    EXPECT_NEAR(depth_factor(kh), static_cast<double>(share), 1e-8 * static_cast<double>(share)) << kh;
  }
}

TEST(Orchard1962, DeepLayer) {
  const Millimetres wave(0.2);
  for (const double f : {0.01, 0.03, 0.1})
    EXPECT_NEAR(relief_left(Millimetres(f), wave, Millimetres(2)),
                std::exp(-std::numbers::pi * f / wave.value()), 1e-9);
  // A depth of half a wave is nearly deep.
  EXPECT_NEAR(depth_factor(std::numbers::pi), 0.9, 0.02);
}

TEST(Orchard1962, ThinFilm) {
  const Millimetres wave(4), depth(0.02);
  const double k = 2 * std::numbers::pi / wave.value(), h = depth.value();
  const Millimetres long_heat(20000);
  const double expected = std::exp(-std::pow(k, 4) * std::pow(h, 3) * long_heat.value() / 3);
  EXPECT_NEAR(relief_left(long_heat, wave, depth), expected, 2e-3 * expected);
  EXPECT_GT(expected, 0.01);
  EXPECT_LT(expected, 0.9) << "or the comparison says nothing";
}

// The temperature at which a hold of a given time reaches a given sintering.
double temperature_for(double fused, Millimetres grain, double minutes, const ViscosityCurve& glass) {
  double low = 400, high = 1200;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    const Millimetres heat = flow_of(Schedule{{0, Celsius(middle), minutes}}, glass);
    (fused_share(heat, grain) < fused ? low : high) = middle;
  }
  return low;
}

// Time over (viscosity * grain) decides (Frenkel): at equal time a grain twice as large needs glass half as
// stiff, so the temperature moves up by as much as the viscosity curve says.
TEST(Sintering, TemperatureMovesWithTheGrainByTheRightFactor) {
  const ViscosityCurve glass{GlassConstants{}};
  for (const double fused : {0.3, 0.6, 0.93}) {
    double before = 0;
    for (const double grain : {0.045, 0.075, 0.125, 0.18, 0.25}) {  // ASTM E11 325, 200, 120, 80, 60
      const double t = temperature_for(fused, Millimetres(grain), 10, glass);
      EXPECT_GT(t, before);
      before = t;
      const double fine = temperature_for(fused, Millimetres(0.045), 10, glass);
      const double softer = std::pow(10, glass.log10_pa_s(Celsius(fine)) - glass.log10_pa_s(Celsius(t)));
      EXPECT_NEAR(softer, grain / 0.045, 1e-6 * grain / 0.045);
    }
  }
}

}  // namespace
}  // namespace powderplan
