#include "report/quick_srgb.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>

namespace powderplan {
namespace {

TEST(QuickSrgb, GivesEveryCodeBack) {
  for (int code = 0; code < 256; ++code) {
    const Rgb8 grey{static_cast<std::uint8_t>(code), static_cast<std::uint8_t>(255 - code), 7};
    EXPECT_EQ(quick_rgb8(quick_linear(grey)), grey);
    EXPECT_DOUBLE_EQ(quick_linear(grey).r, to_linear_rgb(grey).r);
  }
}

TEST(QuickSrgb, IsWithinOneCodeOfTheFormula) {
  int off = 0;
  for (int i = -50; i <= 1050; ++i) {
    const double light = i / 1000.0 + 0.000123;
    const int difference = std::abs(quick_rgb8({light, 0, 0}).r - to_rgb8(LinearRgb{light, 0, 0}).r);
    EXPECT_LE(difference, 1) << light;
    off += difference;
  }
  EXPECT_LT(off, 12);
}

TEST(QuickSrgb, ExactCodesAreThoseOfTheFormula) {
  int code = 0;
  for (int i = -1000; i <= 1'010'000; ++i) {
    const double light = i / 1e6;
    const Rgb8 exact = to_rgb8(LinearRgb{light, light, light});
    ASSERT_EQ(exact_rgb8({light, light, light}), exact) << light;
    // Right at the edge between two codes.
    for (int k = 0; exact.r != code && k <= 1000; ++k) {
      const double edge = light - 1e-6 + k * 1e-9;
      ASSERT_EQ(exact_rgb8({edge, edge, edge}), to_rgb8(LinearRgb{edge, edge, edge})) << edge;
    }
    code = exact.r;
  }
  EXPECT_EQ(code, 255);
}

TEST(QuickSrgb, GreysFollowTheLightness) {
  const GreyByLightness grey(66, 0.31);
  for (int i = 0; i < 256; ++i) {
    const Rgb8 colour{static_cast<std::uint8_t>(i), static_cast<std::uint8_t>(i * 7),
                      static_cast<std::uint8_t>(255 - i)};
    const Rgb8 exact = to_rgb8(to_linear_rgb(to_xyz(Lab{66 + 0.31 * to_lab(colour).l, 0, 0})));
    EXPECT_LE(std::abs(grey(colour).g - exact.g), 1) << i;
    EXPECT_NEAR(GreyByLightness::lightness(colour), to_lab(colour).l, 0.03) << i;
  }
}

}  // namespace
}  // namespace powderplan
