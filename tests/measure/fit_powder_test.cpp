// Fits against steps of glasses that another renderer (known_glass.h) made.
#include "measure/fit_powder.h"

#include <gtest/gtest.h>

#include "measure/known_tile.h"
#include "optics/kubelka_munk.h"
#include "optics/surface.h"
#include "property.h"

namespace powderplan {
namespace {

using known_tile::KnownTile;
using known_tile::mean;
using known_tile::p95;

struct Reached {
  double mean = 0, p95 = 0, worst_mean = 0;
};

// Over twelve glasses of each body.
Reached reached(double noise, bool opalescent, double power, bool with_curve) {
  constexpr unsigned glasses = 12;
  Reached all;
  for (unsigned seed = 1; seed <= glasses; ++seed) {
    const KnownTile tile(known::made_up(seed, opalescent), opalescent, power);
    const PowderFit fit = fit_powder(tile.read(noise, 7 * seed + 1), {.with_curve = with_curve});
    const std::vector<double> errors = tile.unseen_errors(fit.optics);
    all.mean += mean(errors) / glasses;
    all.p95 += p95(errors) / glasses;
    all.worst_mean = std::max(all.worst_mean, mean(errors));
  }
  return all;
}

TEST(FitPowder, PredictsLoadsThatItHasNotSeen) {
  for (const bool opalescent : {false, true}) {
    const Reached by_photo = reached(0.3, opalescent, 1, false);
    EXPECT_LT(by_photo.mean, 0.23) << opalescent;
    EXPECT_LT(by_photo.p95, 0.46) << opalescent;
    EXPECT_LT(by_photo.worst_mean, 0.42) << opalescent;
    const Reached rough = reached(1.0, opalescent, 1, false);
    EXPECT_LT(rough.mean, 0.75) << opalescent;
    EXPECT_LT(rough.p95, 1.4) << opalescent;
  }
}

TEST(FitPowder, ACurvePredictsBetterWhereTheDataAreNotKubelkaMunk) {
  for (const bool opalescent : {false, true}) {
    const Reached plain = reached(0.1, opalescent, 0.85, false),
                  curved = reached(0.1, opalescent, 0.85, true);
    EXPECT_LT(curved.mean, 0.4 * plain.mean) << opalescent;
    EXPECT_LT(curved.mean, 0.2) << opalescent;
  }
}

// The spreading is found where the light loads show it.
TEST(FitPowder, FindsHowFarTheGrainsSpread) {
  double off = 0;
  constexpr unsigned glasses = 12;
  for (unsigned seed = 1; seed <= glasses; ++seed) {
    const known::Glass glass = known::made_up(seed, true);
    const PowderFit fit = fit_powder(KnownTile(glass, true).read(0.1, seed));
    off += std::abs(std::log(fit.optics.spreads / glass.spreads)) / glasses;
  }
  EXPECT_LT(off, 0.13);
}

// Twice the noise in the readings is found as twice the noise, and near to what was put in: in L*, a*, b* of
// standard deviations n, 0.7 n, 0.7 n the root mean square of a CIEDE2000 is somewhat above n.
TEST(FitPowder, FindsTheNoiseOfItsReadings) {
  const auto found = [](double noise) {
    double sum = 0;
    constexpr unsigned glasses = 12;
    for (unsigned seed = 1; seed <= glasses; ++seed)
      sum += fit_powder(KnownTile(known::made_up(seed, true), true).read(noise, seed)).noise_de00 / glasses;
    return sum;
  };
  const double at_03 = found(0.3), at_06 = found(0.6);
  EXPECT_NEAR(at_03 / 0.3, 1.25, 0.15);
  EXPECT_NEAR(at_06 / at_03, 2, 0.15);
}

// Exact spectra of a glass that only absorbs: Bouguer's law comes back.
TEST(FitPowder, OfGlassThatOnlyAbsorbsFindsBouguersLaw) {
  Spectrum k;
  for (std::size_t b = 0; b < band_count; ++b) {
    const double off = (band_nm(b) - 560) / 60.0;
    k[b] = 0.1 + 5 * std::exp(-off * off / 2);
  }
  Readings readings;
  readings.grain = Millimetres(0.02);
  readings.flow = flow_for(Finish::full, readings.grain);
  const Spectrum white = Spectrum::constant(0.9), black = Spectrum::constant(0.05);
  const auto seen = [](double inside) { return seen_through(glass_surface(), inside, 0); };
  readings.grounds = {{"white", opaque_ground(per_band(seen, white))},
                      {"black", opaque_ground(per_band(seen, black))}};
  for (const double load : {0.1, 0.2, 0.4, 0.8}) {
    for (const auto& [place, ground] : {std::pair{0U, &white}, std::pair{1U, &black}})
      readings.steps.push_back(
          {Load(load), place,
           per_band([&](double absorbs, double below) { return seen(below * std::exp(-2 * absorbs * load)); },
                    k, *ground)});
  }
  const PowderFit fit = fit_powder(readings);
  EXPECT_LT(fit.mean_de00, 0.05);
  for (std::size_t b = 0; b < band_count; ++b) {
    EXPECT_LT(fit.optics.s[b], 0.01) << band_nm(b);
    for (const double load : {0.15, 0.6})
      EXPECT_NEAR(kubelka_munk(fit.optics.k[b], fit.optics.s[b], load).transmit, std::exp(-k[b] * load),
                  0.002)
          << band_nm(b);
  }
}

// Steps of an opalescent glass through a clear sheet, as this model has them: the start takes them for a
// glass that only absorbs, and the fit finds out.
TEST(FitPowder, FindsScatteringThroughAClearSheet) {
  PowderOptics opal;
  opal.grain = Millimetres(0.05);
  for (std::size_t b = 0; b < band_count; ++b) {
    opal.k[b] = 0.2 + 0.02 * static_cast<double>(b);
    opal.s[b] = 12 - 0.1 * static_cast<double>(b);
  }
  Readings readings;
  readings.grain = opal.grain;
  readings.flow = flow_for(Finish::full, readings.grain);
  readings.grounds = {{"clear", clear_ground(Spectrum::constant(0.9))}};
  for (const double load : {0.03, 0.06, 0.12, 0.25, 0.5}) {
    StepReading step{Load(load), 0, Spectrum()};
    step.seen = look_of(opal, readings, step);
    readings.steps.push_back(step);
  }
  const PowderFit fit = fit_powder(readings);
  EXPECT_LT(fit.mean_de00, 0.02);
  for (std::size_t b = 0; b < band_count; ++b) {
    EXPECT_NEAR(fit.optics.s[b], opal.s[b], 0.03 * opal.s[b]) << band_nm(b);
    EXPECT_NEAR(fit.optics.k[b], opal.k[b], 0.2 * opal.k[b]) << band_nm(b);
  }
}

// Whatever glass: the fit stays a possible one, misses its own steps by little more than their noise, and
// comes out the same again.
TEST(FitPowder, IsAPossibleGlassAndMeetsItsSteps) {
  holds_always(
      [] {
        const bool opalescent = any_whole(0, 1) == 1;
        const auto seed = static_cast<unsigned>(any_whole(100, 5000));
        const double noise = any_between(0, 1);
        const Readings readings =
            KnownTile(known::made_up(seed, opalescent), opalescent).read(noise, seed, any_whole(1, 7));
        const FitRules rules{.with_curve = any_whole(0, 1) == 1};
        const PowderFit fit = fit_powder(readings, rules);
        for (std::size_t b = 0; b < band_count; ++b) {
          RC_ASSERT(fit.optics.k[b] >= 1e-3 && fit.optics.k[b] <= 1e3);
          RC_ASSERT(fit.optics.s[b] >= 1e-3 && fit.optics.s[b] <= 1e3);
        }
        RC_ASSERT(fit.mean_de00 < 0.3 + 1.6 * noise);
        RC_ASSERT(fit.optics.spreads > 0.2 && fit.optics.spreads < 5);
        RC_ASSERT(fit.followed_de00 <= fit.noise_de00);
        RC_ASSERT(fit_powder(readings, rules).optics.k == fit.optics.k);
      },
      60);
}

}  // namespace
}  // namespace powderplan
