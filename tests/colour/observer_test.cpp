#include "colour/observer.h"

#include "property.h"

namespace powderplan {
namespace {

TEST(Illuminants, AreFoundByName) {
  EXPECT_EQ(illuminant_named("D65"), illuminant_d65());
  EXPECT_EQ(illuminant_named("D50"), illuminant_d50());
  EXPECT_EQ(illuminant_named("A"), illuminant_a());
  EXPECT_EQ(illuminant_named("6000K"), daylight(6000));
  EXPECT_EQ(illuminant_named("5003.5K"), daylight(5003.5));
}

TEST(Illuminants, EndsOfTheDaylightRangeBelongToIt) {
  EXPECT_TRUE(illuminant_named("4000K"));
  EXPECT_TRUE(illuminant_named("25000K"));
  EXPECT_FALSE(illuminant_named("3999.9K"));
  EXPECT_FALSE(illuminant_named("25000.1K"));
}

TEST(Illuminants, OtherNamesAreNone) {
  for (const auto name : {"", "K", "d65", "D55", "6000", "6000k", "6000 K", " 6000K", "-6000K", "nanK",
                          "infK", "1e9K", "6000KK", "0x1770K", "A "})
    EXPECT_FALSE(illuminant_named(name)) << name;
}

TEST(Illuminants, HavePowerInEveryBand) {
  holds_always([] {
    const Spectrum light = daylight(any_between(coolest_daylight_k, hottest_daylight_k));
    for (const double power : light)
      RC_ASSERT(power > 0);
  });
}

// The two halves of the CIE formula meet at 7000 K.
TEST(Illuminants, DaylightDoesNotJumpAt7000K) {
  const Spectrum below = daylight(7000), above = daylight(7000.001);
  for (std::size_t i = 0; i < band_count; ++i)
    EXPECT_NEAR(below[i], above[i], 0.05) << band_nm(i);
}

TEST(Observer, SeesThePerfectDiffuserAsD65UnderAnyLight) {
  const auto expect_white = [](const Spectrum& light) {
    const Xyz seen = Observer(light)(Spectrum::constant(1));
    EXPECT_NEAR(seen.x, white_d65.x, 1e-14);
    EXPECT_NEAR(seen.y, white_d65.y, 1e-14);
    EXPECT_NEAR(seen.z, white_d65.z, 1e-14);
  };
  expect_white(illuminant_d65());
  expect_white(illuminant_d50());
  expect_white(illuminant_a());
  expect_white(Spectrum::constant(1));
  for (const double kelvin : {4000.0, 6999.0, 7001.0, 25000.0})
    expect_white(daylight(kelvin));
}

TEST(Observer, DoesNotMindHowStrongTheLightIs) {
  const Observer dim(illuminant_a()), bright(illuminant_a() * 1000);
  Spectrum s;
  for (std::size_t i = 0; i < band_count; ++i)
    s[i] = static_cast<double>(i) / band_count;
  EXPECT_NEAR(dim(s).x, bright(s).x, 1e-14);
  EXPECT_NEAR(dim(s).z, bright(s).z, 1e-14);
}

TEST(Observer, AddsUpItsWeights) {
  holds_always([] {
    const Observer see(illuminant_d65());
    Spectrum s;
    Xyz expected;
    for (std::size_t i = 0; i < band_count; ++i) {
      s[i] = any_between(0, 1);
      expected = expected + see.weights()[i] * s[i];
    }
    const Xyz seen = see(s);
    RC_ASSERT(std::abs(seen.x - expected.x) < 1e-14);
    RC_ASSERT(std::abs(seen.y - expected.y) < 1e-14);
    RC_ASSERT(std::abs(seen.z - expected.z) < 1e-14);
  });
}

}  // namespace
}  // namespace powderplan
