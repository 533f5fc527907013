// Source: LittleCMS, an independent implementation of ICC.1 colour management, with its own sRGB and Lab.
#include <gtest/gtest.h>
#include <lcms2.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <random>

#include "colour/difference.h"
#include "colour/tristimulus.h"

namespace powderplan {
namespace {

struct CloseProfile {
  void operator()(void* profile) const { cmsCloseProfile(profile); }
};
struct DeleteTransform {
  void operator()(void* transform) const { cmsDeleteTransform(transform); }
};
using Profile = std::unique_ptr<void, CloseProfile>;
using Transform = std::unique_ptr<void, DeleteTransform>;

// ICC.1: the connection space is Lab under D50; sRGB gets there by Bradford adaptation.
Lab lab_d50(const Rgb8& c) {
  const Xyz d50{cmsD50_XYZ()->X, cmsD50_XYZ()->Y, cmsD50_XYZ()->Z};
  return to_lab(adapt(to_xyz(to_linear_rgb(c)), white_d65, d50), d50);
}

TEST(LittleCms, SrgbToLabOnAGridAndAtRandom) {
  const Profile srgb(cmsCreate_sRGBProfile()), lab(cmsCreateLab4Profile(nullptr));
  const Transform transform(cmsCreateTransform(srgb.get(), TYPE_RGB_DBL, lab.get(), TYPE_Lab_DBL,
                                               INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE));
  ASSERT_TRUE(transform);
  const auto compare = [&](const Rgb8& c) {
    const double in[3] = {c.r / 255.0, c.g / 255.0, c.b / 255.0};
    cmsCIELab theirs;
    cmsDoTransform(transform.get(), in, &theirs, 1);
    const Lab ours = lab_d50(c);
    const double off =
        std::max({std::abs(ours.l - theirs.L), std::abs(ours.a - theirs.a), std::abs(ours.b - theirs.b)});
    EXPECT_LT(off, 1e-4) << to_hex(c);
  };
  for (int r = 0; r <= 255; r += 51) {
    for (int g = 0; g <= 255; g += 51) {
      for (int b = 0; b <= 255; b += 51)
        compare({static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g), static_cast<std::uint8_t>(b)});
    }
  }
  std::mt19937 random(1);
  for (int i = 0; i < 2000; ++i)
    compare({static_cast<std::uint8_t>(random() & 255u), static_cast<std::uint8_t>(random() & 255u),
             static_cast<std::uint8_t>(random() & 255u)});
}

TEST(LittleCms, Ciede2000OfRandomPairs) {
  std::mt19937 random(2);
  std::uniform_real_distribution<double> l(0, 100), ab(-100, 100);
  for (int i = 0; i < 2000; ++i) {
    const cmsCIELab one{l(random), ab(random), ab(random)}, two{l(random), ab(random), ab(random)};
    EXPECT_NEAR(ciede2000({one.L, one.a, one.b}, {two.L, two.a, two.b}),
                cmsCIE2000DeltaE(&one, &two, 1, 1, 1), 1e-6);
  }
}

}  // namespace
}  // namespace powderplan
