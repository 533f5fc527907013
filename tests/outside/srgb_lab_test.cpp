// sRGB: IEC 61966-2-1:1999. Lab: CIE 15. Numbers of the standards as colour-science quotes and tests them
// (colour/models/rgb, colour/models/tests/test_cie_lab.py, colour/adaptation/tests/test_vonkries.py).
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "colour/difference.h"
#include "colour/tristimulus.h"
#include "published.h"

namespace powderplan {
namespace {

void expect_near(const Lab& one, const Lab& two, double tolerance) {
  EXPECT_NEAR(one.l, two.l, tolerance);
  EXPECT_NEAR(one.a, two.a, tolerance);
  EXPECT_NEAR(one.b, two.b, tolerance);
}

Xyz white_of(double x, double y) {
  return {x / y, 1, (1 - x - y) / y};
}

TEST(Iec61966, TransferFunction) {
  EXPECT_NEAR(srgb_encode(0.18), 0.461356129500442, 1e-15);
  EXPECT_NEAR(srgb_encode(0.0031308), 12.92 * 0.0031308, 1e-15);
  EXPECT_NEAR(srgb_decode(0.04045), 0.04045 / 12.92, 1e-15);
  EXPECT_EQ(srgb_encode(0), 0);
  EXPECT_NEAR(srgb_encode(1), 1, 1e-15);
}

// The standard prints four decimals; ours follow from its primaries, so they agree to its rounding.
TEST(Iec61966, Matrices) {
  constexpr std::array<std::array<double, 3>, 3> to_xyz_4{
      {{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}};
  constexpr std::array<std::array<double, 3>, 3> to_rgb_4{
      {{3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}}};
  for (std::size_t c = 0; c < 3; ++c) {
    const LinearRgb unit{c == 0 ? 1.0 : 0.0, c == 1 ? 1.0 : 0.0, c == 2 ? 1.0 : 0.0};
    const Xyz xyz = to_xyz(unit);
    EXPECT_NEAR(xyz.x, to_xyz_4[0][c], 1e-4);
    EXPECT_NEAR(xyz.y, to_xyz_4[1][c], 1e-4);
    EXPECT_NEAR(xyz.z, to_xyz_4[2][c], 1e-4);
    const LinearRgb rgb = to_linear_rgb(Xyz{unit.r, unit.g, unit.b});
    // The printed inverse is the inverse of the printed, rounded matrix: a little further off.
    EXPECT_NEAR(rgb.r, to_rgb_4[0][c], 5e-4);
    EXPECT_NEAR(rgb.g, to_rgb_4[1][c], 5e-4);
    EXPECT_NEAR(rgb.b, to_rgb_4[2][c], 5e-4);
  }
}

TEST(Cie15, LabOfPublishedColours) {
  const Xyz d65 = white_of(0.31270, 0.32900), d50 = white_of(0.34570, 0.35850);
  expect_near(to_lab(Xyz{0.20654008, 0.12197225, 0.05136952}, d65), {41.52787529, 52.63858304, 26.92317922},
              1e-6);
  expect_near(to_lab(Xyz{0.14222010, 0.23042768, 0.10495772}, d65), {55.11636304, -41.08791787, 30.91825778},
              1e-6);
  expect_near(to_lab(Xyz{0.07818780, 0.06157201, 0.28099326}, d65), {29.80565520, 20.01830466, -48.34913874},
              1e-6);
  expect_near(to_lab(Xyz{0.20654008, 0.12197225, 0.05136952}, d50), {41.52787529, 51.19354174, 19.91843098},
              1e-6);
}

// 1.0479 ... as the product of the Bradford matrix of ICC.1 annex E with the two whites.
TEST(Bradford, MatrixFromD65ToD50) {
  constexpr std::array<std::array<double, 3>, 3> published{{{1.04792979, 0.02294687, -0.05019227},
                                                            {0.02962781, 0.99043443, -0.01707380},
                                                            {-0.00924304, 0.01505519, 0.75187428}}};
  const Xyz d65{0.95045593, 1, 1.08905775}, d50{0.96429568, 1, 0.82510460};
  for (std::size_t c = 0; c < 3; ++c) {
    const Xyz column = adapt({c == 0 ? 1.0 : 0.0, c == 1 ? 1.0 : 0.0, c == 2 ? 1.0 : 0.0}, d65, d50);
    EXPECT_NEAR(column.x, published[0][c], 1e-8);
    EXPECT_NEAR(column.y, published[1][c], 1e-8);
    EXPECT_NEAR(column.z, published[2][c], 1e-8);
  }
}

// Ottosson 2020, "A perceptual color space for image processing", table of XYZ and OKLab pairs; three
// decimals, from memory.
TEST(Ottosson2020, ReferencePairs) {
  constexpr std::array<std::array<double, 6>, 4> pairs{{{0.950, 1.000, 1.089, 1.000, 0.000, 0.000},
                                                        {1.000, 0.000, 0.000, 0.450, 1.236, -0.019},
                                                        {0.000, 1.000, 0.000, 0.922, -0.671, 0.263},
                                                        {0.000, 0.000, 1.000, 0.153, -1.415, -0.449}}};
  for (const auto& p : pairs) {
    const Oklab c = to_oklab(Xyz{p[0], p[1], p[2]});
    EXPECT_NEAR(c.l, p[3], 5e-4);
    EXPECT_NEAR(c.a, p[4], 5e-4);
    EXPECT_NEAR(c.b, p[5], 5e-4);
  }
}

// The 24-patch chart: its maker's Lab under D50 (before November 2014), and sRGB as widely published. The
// published sRGB set does not follow from the Lab set: up to 21 codes or 4.5 CIEDE2000 off.
TEST(Chart24, LabToSrgb) {
  const Xyz d50 = white_of(0.34570, 0.35850);
  double worst = 0;
  for (const PublishedRow& row : published_table("chart24_lab_srgb.csv")) {
    const Xyz seen = to_xyz(Lab{row.number("L"), row.number("a"), row.number("b")}, d50);
    const Lab lab = to_lab(adapt(seen, d50, white_d65));
    const auto code = [&](const char* column) {
      return static_cast<std::uint8_t>(std::stoi(row.text(column)));
    };
    const double off = ciede2000(lab, to_lab(Rgb8{code("R_pub"), code("G_pub"), code("B_pub")}));
    EXPECT_LT(off, 4.5) << row.text("name");
    worst = std::max(worst, off);
  }
  EXPECT_GT(worst, 3);
}

}  // namespace
}  // namespace powderplan
