#include "colour/upsample.h"

#include <algorithm>

#include "colour/difference.h"
#include "property.h"

namespace powderplan {
namespace {

double round_trip_de00(const Rgb8& colour) {
  static const Observer see(illuminant_d65());
  return ciede2000(to_lab(colour), to_lab(see(smooth_spectrum(to_linear_rgb(colour)))));
}

bool strictly_inside(const Spectrum& s) {
  return std::all_of(s.begin(), s.end(), [](double v) { return v > 0 && v < 1; });
}

// A sigmoid of a quadratic has one turning point at most.
int turning_points(const Spectrum& s) {
  int turns = 0;
  double last_slope = 0;
  for (std::size_t i = 1; i < band_count; ++i) {
    const double slope = s[i] - s[i - 1];
    if (std::abs(slope) < 1e-12)
      continue;
    if (slope * last_slope < 0)
      ++turns;
    last_slope = slope;
  }
  return turns;
}

TEST(SmoothSpectrum, HasTheColourItIsAskedForAllOverTheCube) {
  double worst = 0;
  for (int r = 0; r <= 255; r += 15) {
    for (int g = 0; g <= 255; g += 15) {
      for (int b = 0; b <= 255; b += 15) {
        const Rgb8 c{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g),
                     static_cast<std::uint8_t>(b)};
        worst = std::max(worst, round_trip_de00(c));
      }
    }
  }
  EXPECT_LT(worst, smooth_spectrum_tolerance_de00);
  // The stated bound is not slack either.
  EXPECT_GT(worst, smooth_spectrum_tolerance_de00 / 100);
}

TEST(SmoothSpectrum, HasTheColourItIsAskedForAnywhere) {
  holds_always([] { RC_ASSERT(round_trip_de00(any_rgb8()) < smooth_spectrum_tolerance_de00); }, 1000);
}

TEST(SmoothSpectrum, IsAPhysicalReflectanceWithoutRipple) {
  holds_always(
      [] {
        const Spectrum s = smooth_spectrum(to_linear_rgb(any_rgb8()));
        RC_ASSERT(strictly_inside(s));
        RC_ASSERT(turning_points(s) <= 1);
      },
      500);
}

TEST(SmoothSpectrum, OfAGreyIsFlat) {
  for (const int code : {1, 20, 100, 200, 254}) {
    const auto v = static_cast<std::uint8_t>(code);
    const Spectrum s = smooth_spectrum(to_linear_rgb(Rgb8{v, v, v}));
    const double wanted = srgb_decode(code / 255.0);
    // The white of 31 bands is not exactly the white of sRGB, but adaptation makes it so.
    for (const double reflectance : s)
      EXPECT_NEAR(reflectance, wanted, 1e-6) << code;
  }
}

// Two colours of one code step apart have spectra that are close too: nothing jumps between solutions.
// Away from the edges, where one code is a small step.
TEST(SmoothSpectrum, ChangesGraduallyWithTheColour) {
  holds_always([] {
    const auto code = [] { return static_cast<std::uint8_t>(*rc::gen::inRange(40, 216)); };
    const std::uint8_t r = code(), g = code(), b = code();
    const Spectrum one = smooth_spectrum(to_linear_rgb(Rgb8{r, g, b}));
    const Spectrum two = smooth_spectrum(to_linear_rgb(Rgb8{r, static_cast<std::uint8_t>(g + 1), b}));
    for (std::size_t i = 0; i < band_count; ++i)
      RC_ASSERT(std::abs(one[i] - two[i]) < 0.05);
  });
}

// Outside sRGB the nearest curve is returned, still a physical one.
TEST(SmoothSpectrum, StaysPhysicalForColoursOutsideTheGamut) {
  for (const LinearRgb c : {LinearRgb{1.5, 1.5, 1.5}, LinearRgb{-0.2, 0.5, 0.5}, LinearRgb{2, 0, 0},
                            LinearRgb{0, 0, 0}, LinearRgb{-1, -1, -1}}) {
    const Spectrum s = smooth_spectrum(c);
    EXPECT_TRUE(std::all_of(s.begin(), s.end(), [](double v) { return v >= 0 && v <= 1; }));
  }
}

}  // namespace
}  // namespace powderplan
