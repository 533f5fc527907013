#include "optics/swatch.h"

#include "colour/difference.h"
#include "colour/observer.h"
#include "optics/kubelka_munk.h"
#include "optics/surface.h"
#include "property.h"

namespace powderplan {
namespace {

Rgb8 rgb(const char* hex) {
  Rgb8 colour;
  EXPECT_TRUE(parse_hex(hex, colour)) << hex;
  return colour;
}

Rgb8 shown(const Spectrum& k, const Spectrum& s, Load load, double ground) {
  const Spectrum inside = reflectance_over(kubelka_munk(k, s, load), Spectrum::constant(ground));
  const Observer see(illuminant_d65());
  return to_rgb8(
      to_linear_rgb(see(per_band([](double r) { return seen_through(glass_surface(), r, 0.0); }, inside))));
}

TEST(Swatch, WhiteGroundThroughClearGlassIsWhatTheHeaderSays) {
  EXPECT_EQ(shown(Spectrum(), Spectrum(), full_load, white_ground), rgb("#f2f2f2"));
  EXPECT_EQ(shown(Spectrum(), Spectrum(), full_load, black_ground), rgb("#000000"));
}

TEST(Swatch, RepeatsTheTwoColoursItWasFittedTo) {
  const std::pair<const char*, const char*> swatches[] = {
      {"#1a2a6e", "#050814"}, {"#8c1420", "#120306"}, {"#b4dcdc", "#0c1212"}, {"#e6b4be", "#140f10"},
      {"#3c8c50", "#36784a"}, {"#f0e08c", "#c8ba70"}, {"#f2f2f0", "#d2d6da"}, {"#0c0c0d", "#0c0c0d"}};
  for (const auto& [white, black] : swatches) {
    for (const double load : {0.1, 0.75, 1.5}) {
      const SwatchFit fit = fit_swatch(rgb(white), rgb(black), Load(load));
      EXPECT_LT(fit.white_de00, 0.2) << white;
      EXPECT_LT(fit.black_de00, 0.2) << black;
      // And the two differences are what they claim to be, to the rounding of a colour code.
      EXPECT_LT(ciede2000(to_lab(rgb(white)), to_lab(shown(fit.k, fit.s, Load(load), white_ground))), 1.0);
      EXPECT_LT(ciede2000(to_lab(rgb(black)), to_lab(shown(fit.k, fit.s, Load(load), black_ground))), 1.0);
    }
  }
}

TEST(Swatch, CoefficientsAreInverselyProportionalToTheLoad) {
  const SwatchFit light = fit_swatch(rgb("#3c8c50"), rgb("#36784a"), Load(0.25));
  const SwatchFit heavy = fit_swatch(rgb("#3c8c50"), rgb("#36784a"), Load(0.75));
  for (std::size_t i = 0; i < band_count; ++i) {
    EXPECT_NEAR(light.k[i], 3 * heavy.k[i], 1e-9 * light.k[i]);
    EXPECT_NEAR(light.s[i], 3 * heavy.s[i], 1e-9 * light.s[i]);
  }
}

TEST(Swatch, OfClearGlassNeitherAbsorbsNorScatters) {
  const SwatchFit fit = fit_swatch(rgb("#f2f2f2"), rgb("#000000"), full_load);
  for (std::size_t i = 0; i < band_count; ++i) {
    EXPECT_LT(fit.k[i], 0.01);
    EXPECT_LT(fit.s[i], 0.01);
  }
}

TEST(Swatch, SaysWhenNoGlassLooksLikeThat) {
  const auto off = [](const char* white, const char* black) {
    const SwatchFit fit = fit_swatch(rgb(white), rgb(black), full_load);
    return std::max(fit.white_de00, fit.black_de00);
  };
  // Lighter over black than over white; one hue over white and its complement over black.
  EXPECT_GT(off("#404040", "#c0c0c0"), 8);
  EXPECT_GT(off("#2030a0", "#c08020"), 8);
}

TEST(Swatch, IsAlwaysAPhysicalGlass) {
  holds_always([] {
    const Rgb8 white = any_rgb8(), black = any_rgb8();
    const SwatchFit fit = fit_swatch(white, black, Load(any_decade_between(0.01, 3)));
    for (std::size_t i = 0; i < band_count; ++i) {
      RC_ASSERT(std::isfinite(fit.k[i]) && fit.k[i] >= 0);
      RC_ASSERT(std::isfinite(fit.s[i]) && fit.s[i] >= 0);
    }
  });
}

// Glass to swatch to glass: what a swatch can tell about a layer comes back as the same two colours.
TEST(Swatch, OfAnyRealGlassIsRepeated) {
  holds_always([] {
    const Spectrum k = Spectrum::constant(any_decade_between(0.01, 5));
    const Spectrum s = Spectrum::constant(any_decade_between(0.01, 20));
    const Rgb8 white = shown(k, s, full_load, white_ground), black = shown(k, s, full_load, black_ground);
    const SwatchFit fit = fit_swatch(white, black, full_load);
    RC_ASSERT(fit.white_de00 < 0.5);
    RC_ASSERT(fit.black_de00 < 0.5);
  });
}

}  // namespace
}  // namespace powderplan
