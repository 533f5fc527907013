// Sources: Kubelka 1948, J. Opt. Soc. Am. 38, 448: the reflectance of a layer over a ground, hyperbolic form,
// and the closed inversion from two grounds; Saunderson 1942, J. Opt. Soc. Am. 32, 727, for the surface. Both
// are written out here and share nothing with the program.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "measure/fit_powder.h"
#include "measure/known_glass.h"
#include "measure/measured_powder.h"
#include "measure/spectra_file.h"
#include "optics/finish.h"

namespace powderplan {
namespace {

// Reflectance inside the glass of what is seen, 4 % outside, n = 1.5: the inverse of known::through_surface
// by bisection, because that rises.
double inside_of(double seen) {
  double low = 0, high = 1;
  for (int i = 0; i < 80; ++i) {
    const double middle = (low + high) / 2;
    (known::through_surface(middle) < seen ? low : high) = middle;
  }
  return (low + high) / 2;
}

struct Found {
  double k, s;
};

// Of a layer of load w that is seen as R1 over ground g1 and as R2 over g2. By Kubelka's equation
// b coth(b s w) = (a (R + g) - R g - 1) / (R - g) for both; that the two are equal is linear in a.
Found closed_inversion(double over_1, double over_2, double ground_1, double ground_2, double load) {
  const double d1 = over_1 - ground_1, d2 = over_2 - ground_2;
  const double a = ((over_1 * ground_1 + 1) * d2 - (over_2 * ground_2 + 1) * d1) /
                   ((over_1 + ground_1) * d2 - (over_2 + ground_2) * d1);
  const double b = std::sqrt(a * a - 1);
  // R = (1 - g (a - b coth)) / (a - g + b coth), solved for coth.
  const double coth = (1 - ground_1 * a - over_1 * (a - ground_1)) / (b * d1);
  const double s = std::atanh(1 / coth) / (b * load);
  return {s * (a - 1), s};
}

constexpr double light = 0.92, dark = 0.03;

// Grains so fine that they cover all of the ground: what the closed inversion takes for granted.
constexpr double grain_mm = 0.01;

std::string exact_table(const known::Glass& glass, const std::vector<double>& loads) {
  std::string text = "wavelength_nm,reflectance 0 light,reflectance 0 dark";
  for (const double load : loads)
    text += fmt::format(",reflectance {} light,reflectance {} dark", load, load);
  for (std::size_t b = 0; b < band_count; ++b) {
    text +=
        fmt::format("\n{},{},{}", band_nm(b), known::through_surface(light), known::through_surface(dark));
    for (const double load : loads)
      for (const double ground : {light, dark})
        text += fmt::format(",{}",
                            known::through_surface(known::over_ground(glass.k[b], glass.s[b], load, ground)));
  }
  return text + "\n";
}

// Share of k + s. The fit holds its coefficients to a smooth course with a weight that exact spectra
// outweigh.
constexpr double tolerance = 2e-5;

TEST(ClosedInversion, OfExactSpectraIsWhatTheFitFinds) {
  double worst = 0;
  for (unsigned seed = 1; seed <= 12; ++seed) {
    const known::Glass glass = known::made_up(seed, true);
    // Half hidden at most, where both inversions are well conditioned.
    double strongest = 0;
    for (std::size_t b = 0; b < band_count; ++b)
      strongest = std::max(strongest, glass.k[b] + glass.s[b]);
    const double load = std::max(0.04, 0.8 / strongest);
    Readings readings =
        read_spectra(exact_table(glass, {load / 2, load, load * 2}), "exact.csv", Gloss::left_out);
    readings.grain = Millimetres(grain_mm);
    readings.flow = flow_for(Finish::full, readings.grain);
    const PowderFit fit = fit_powder(readings);
    for (std::size_t b = 0; b < band_count; ++b) {
      const auto inside = [&](std::size_t step) {
        return inside_of(std::get<Spectrum>(readings.steps[step].seen)[b]);
      };
      const Found closed = closed_inversion(inside(2), inside(3), light, dark, load);
      // The closed form itself gives back what went in.
      ASSERT_NEAR(closed.k, glass.k[b], 1e-6 * (glass.k[b] + glass.s[b])) << seed << " " << band_nm(b);
      ASSERT_NEAR(closed.s, glass.s[b], 1e-6 * (glass.k[b] + glass.s[b])) << seed << " " << band_nm(b);
      const double scale = closed.k + closed.s;
      worst = std::max({worst, std::abs(fit.optics.k[b] - closed.k) / scale,
                        std::abs(fit.optics.s[b] - closed.s) / scale});
    }
  }
  EXPECT_LT(worst, tolerance);
  EXPECT_GT(worst, tolerance / 10);  // else the bound says less than it could
}

// Smith, Modern Optical Engineering, eq. 10.6: a plate of n = 1.5 that absorbs, T = (1 - r)^2 t / (1 - r^2
// t^2) with r = 4 % and t = exp(-k w) by Bouguer's law. A powder that only colours the clear sheet it lies
// on.
TEST(ClosedInversion, OfAGlassThatOnlyAbsorbsIsBouguersLaw) {
  const std::vector<double> loads{0.05, 0.1, 0.2, 0.4, 0.75};
  const auto absorbs = [](std::size_t b) {
    const double off = (band_nm(b) - 540.0) / 70;
    return 0.2 + 4 * std::exp(-off * off / 2);
  };
  const auto through = [](double inside) {
    constexpr double r = 0.04;
    return (1 - r) * (1 - r) * inside / (1 - r * r * inside * inside);
  };
  constexpr double sheet = 0.97;
  std::string text = "wavelength_nm,transmittance 0";
  for (const double load : loads)
    text += fmt::format(",transmittance {}", load);
  for (std::size_t b = 0; b < band_count; ++b) {
    text += fmt::format("\n{},{}", band_nm(b), through(sheet));
    for (const double load : loads)
      text += fmt::format(",{}", through(sheet * std::exp(-absorbs(b) * load)));
  }
  Readings readings = read_spectra(text + "\n", "exact.csv", Gloss::left_out);
  readings.grain = Millimetres(grain_mm);
  readings.flow = flow_for(Finish::full, readings.grain);
  const MeasuredPowder measured = measure_powder(readings, "exact.csv");
  EXPECT_TRUE(measured.optics.curve.points().empty());
  EXPECT_LT(measured.residual_de00, 0.02);
  EXPECT_LT(measured.expected_de00, 0.05);
  for (std::size_t b = 0; b < band_count; ++b) {
    EXPECT_LT(measured.optics.s[b], 0.03) << band_nm(b);
    EXPECT_NEAR(measured.optics.k[b], absorbs(b), 0.02 * absorbs(b)) << band_nm(b);
    // Loads between, and twice the heaviest.
    for (const double load : {0.07, 0.3, 1.5})
      EXPECT_NEAR(look_of(measured.optics, readings, {Load(load), 0, Spectrum()})[b],
                  through(sheet * std::exp(-absorbs(b) * load)), 0.001)
          << band_nm(b);
  }
  // What it cannot know, it says.
  ASSERT_EQ(measured.notes.size(), 1u);
  EXPECT_EQ(measured.notes[0].substr(0, 48), "there are not both a light and a dark ground, so");
}

}  // namespace
}  // namespace powderplan
