#include "colour/tristimulus.h"

#include "property.h"

namespace powderplan {
namespace {

void near(const Xyz& one, const Xyz& two, double tolerance) {
  RC_ASSERT(std::abs(one.x - two.x) < tolerance);
  RC_ASSERT(std::abs(one.y - two.y) < tolerance);
  RC_ASSERT(std::abs(one.z - two.z) < tolerance);
}

Xyz any_xyz() {
  const double x = any_between(0, 1.2), y = any_between(0, 1.2), z = any_between(0, 1.2);
  return {x, y, z};
}

TEST(Srgb, EveryCodeSurvivesTheRoundTrip) {
  for (int code = 0; code < 256; ++code) {
    const auto v = static_cast<std::uint8_t>(code);
    EXPECT_EQ(to_rgb8(to_linear_rgb(Rgb8{v, v, v})), (Rgb8{v, v, v})) << code;
  }
}

TEST(Srgb, EncodingRisesAndDecodingUndoesIt) {
  double before = -1;
  for (int i = -20; i <= 1200; ++i) {
    const double linear = i / 1000.0, encoded = srgb_encode(linear);
    EXPECT_GT(encoded, before);
    // The two published thresholds do not meet exactly: 3e-8 apart at the join (IEC 61966-2-1).
    EXPECT_NEAR(srgb_decode(encoded), linear, 3e-8);
    before = encoded;
  }
}

TEST(Srgb, NegativeLightPassesThroughTheLinearPart) {
  EXPECT_DOUBLE_EQ(srgb_encode(-0.1), -1.292);
  EXPECT_DOUBLE_EQ(srgb_decode(-1.292), -0.1);
}

TEST(Srgb, ClipsWhatIsOutsideTheGamut) {
  EXPECT_EQ(to_rgb8(LinearRgb{-0.5, 0.0, 1.5}), (Rgb8{0, 0, 255}));
}

TEST(Srgb, RoundsToTheNearestCode) {
  EXPECT_EQ(to_rgb8(LinearRgb{srgb_decode(99.4 / 255), srgb_decode(99.6 / 255), 0}), (Rgb8{99, 100, 0}));
}

TEST(Conversions, LinearRgbAndBackIsExact) {
  holds_always([] {
    const Xyz c = any_xyz();
    near(to_xyz(to_linear_rgb(c)), c, 1e-14);
  });
}

TEST(Conversions, LabAndBackIsExactUnderAnyWhite) {
  holds_always([] {
    const Xyz c = any_xyz();
    const Xyz white{any_between(0.5, 1.5), 1.0, any_between(0.3, 1.5)};
    near(to_xyz(to_lab(c, white), white), c, 1e-14);
  });
}

TEST(Conversions, OklabAndBackIsExact) {
  holds_always([] {
    const Xyz c = any_xyz();
    near(to_xyz(to_oklab(c)), c, 1e-13);
  });
}

TEST(Conversions, WhiteIsOneAndNeutral) {
  const LinearRgb white = to_linear_rgb(white_d65);
  EXPECT_NEAR(white.r, 1, 1e-14);
  EXPECT_NEAR(white.g, 1, 1e-14);
  EXPECT_NEAR(white.b, 1, 1e-14);
  EXPECT_EQ(to_lab(white_d65), (Lab{100, 0, 0}));
}

TEST(Conversions, BlackIsZero) {
  EXPECT_EQ(to_lab(Rgb8{0, 0, 0}), (Lab{0, 0, 0}));
  EXPECT_EQ(to_oklab(Xyz{}).l, 0);
}

TEST(Conversions, EveryGreyIsNeutral) {
  for (int code = 0; code < 256; ++code) {
    const auto v = static_cast<std::uint8_t>(code);
    const Lab grey = to_lab(Rgb8{v, v, v});
    EXPECT_NEAR(grey.a, 0, 1e-12);
    EXPECT_NEAR(grey.b, 0, 1e-12);
  }
}

TEST(Adapt, TakesWhiteToWhiteAndBack) {
  holds_always([] {
    const Xyz c = any_xyz();
    const Xyz warm{1.0985, 1, 0.3558};
    near(adapt(warm, warm, white_d65), white_d65, 1e-14);
    near(adapt(adapt(c, warm, white_d65), white_d65, warm), c, 1e-14);
    near(adapt(c, warm, warm), c, 1e-14);
  });
}

TEST(Hex, AnyColourSurvivesTheRoundTrip) {
  holds_always([] {
    const Rgb8 c = any_rgb8();
    Rgb8 read;
    RC_ASSERT(parse_hex(to_hex(c), read));
    RC_ASSERT(read == c);
  });
}

TEST(Hex, TakesBothCases) {
  Rgb8 read;
  ASSERT_TRUE(parse_hex("#aBcDeF", read));
  EXPECT_EQ(read, (Rgb8{0xab, 0xcd, 0xef}));
  EXPECT_EQ(to_hex(read), "#abcdef");
}

TEST(Hex, RefusesAnythingElseAndLeavesTheColourAlone) {
  using namespace std::string_view_literals;
  for (const auto text :
       {""sv, "#"sv, "#fff"sv, "ffffff"sv, "#fffff"sv, "#fffffff"sv, "#ggffff"sv, "#ff ff0"sv, " #ffffff"sv,
        "#ffffff "sv, "#-1-1-1"sv, "#ffffff80"sv, "0xffffff"sv, "#12345\0"sv, "#１２"sv}) {
    Rgb8 read{1, 2, 3};
    EXPECT_FALSE(parse_hex(text, read)) << text;
    EXPECT_EQ(read, (Rgb8{1, 2, 3}));
  }
}

}  // namespace
}  // namespace powderplan
