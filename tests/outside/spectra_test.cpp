// Illuminants, observer and reflectance integration against published tables: CIE 15 (functions, D65, A),
// and a spectrum that colour-science tests itself with; smooth spectra against a chart's published colours.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string>

#include "colour/difference.h"
#include "colour/observer.h"
#include "colour/upsample.h"
#include "published.h"

namespace powderplan {
namespace {

// The published 5 nm table at our 31 wavelengths.
std::array<PublishedRow, band_count> cie_bands() {
  std::map<int, PublishedRow> by_nm;
  for (const PublishedRow& row : published_table("cie1931_2deg_5nm_D65_A.csv"))
    by_nm[std::stoi(row.text("wavelength_nm"))] = row;
  std::array<PublishedRow, band_count> bands;
  for (std::size_t i = 0; i < band_count; ++i)
    bands[i] = by_nm.at(band_nm(i));
  return bands;
}

Spectrum column(const char* name) {
  const auto bands = cie_bands();
  Spectrum s;
  for (std::size_t i = 0; i < band_count; ++i)
    s[i] = bands[i].number(name);
  return s;
}

double sum_of_products(const Spectrum& a, const Spectrum& b) {
  double sum = 0;
  for (std::size_t i = 0; i < band_count; ++i)
    sum += a[i] * b[i];
  return sum;
}

// White of a light in 31 bands, from the published functions alone.
Xyz white_of(const Spectrum& light) {
  const double y = sum_of_products(light, column("ybar"));
  return {sum_of_products(light, column("xbar")) / y, 1, sum_of_products(light, column("zbar")) / y};
}

// The observer's answer under its own light, before the adaptation to D65.
Xyz unadapted(const Spectrum& light, const Spectrum& reflectance, const Xyz& white) {
  return adapt(Observer(light)(reflectance), white_d65, white);
}

void expect_near(const Xyz& one, const Xyz& two, double tolerance) {
  EXPECT_NEAR(one.x, two.x, tolerance);
  EXPECT_NEAR(one.y, two.y, tolerance);
  EXPECT_NEAR(one.z, two.z, tolerance);
}

// The published D65 was tabulated with M1 and M2 rounded to three decimals (CIE 15): that is the difference.
TEST(Cie15, D65) {
  const Spectrum ours = illuminant_d65(), published = column("D65");
  for (std::size_t i = 0; i < band_count; ++i)
    EXPECT_NEAR(ours[i], published[i], 0.02) << band_nm(i);
}

TEST(Cie15, A) {
  const Spectrum ours = illuminant_a(), published = column("A");
  for (std::size_t i = 0; i < band_count; ++i)
    EXPECT_NEAR(ours[i], published[i], 1e-5 * published[i]) << band_nm(i);
}

// CIE 15 table T.1, D50, from memory.
TEST(Cie15, D50) {
  const Spectrum published(std::array<double, band_count>{
      49.31, 56.51, 60.03,  57.82,  74.82,  87.25,  90.61, 91.37, 95.11, 91.96, 95.72,
      96.61, 97.13, 102.10, 100.75, 102.32, 100.00, 97.74, 98.92, 93.50, 97.69, 99.27,
      99.04, 95.72, 98.86,  95.67,  98.19,  103.00, 99.13, 87.38, 91.60});
  const Spectrum ours = illuminant_d50();
  for (std::size_t i = 0; i < band_count; ++i)
    EXPECT_NEAR(ours[i], published[i], 0.02) << band_nm(i);
}

// CIE 15:2018, XYZ of the whites; 31 bands leave out a little red and violet.
TEST(Cie15, WhitesOf31BandsAreNearThoseOfTheWholeRange) {
  expect_near(white_of(illuminant_d65()), {0.9504, 1, 1.0888}, 0.002);
  expect_near(white_of(illuminant_a()), {1.0985, 1, 0.3558}, 0.002);
  expect_near(white_of(illuminant_d50()), {0.9642, 1, 0.8251}, 0.002);
}

// Each weight is light times matching function, from the published table.
TEST(Cie15, ObserverWeights) {
  const auto bands = cie_bands();
  for (const Spectrum& light : {illuminant_d65(), illuminant_a(), Spectrum::constant(1)}) {
    const Observer observer(light);
    const Xyz white = white_of(light);
    const double y = sum_of_products(light, column("ybar"));
    for (std::size_t i = 0; i < band_count; ++i) {
      const Xyz weight = adapt(observer.weights()[i], white_d65, white);
      const double share = light[i] / y;
      expect_near(
          weight,
          {share * bands[i].number("xbar"), share * bands[i].number("ybar"), share * bands[i].number("zbar")},
          1e-12);
    }
  }
}

// colour-science, colour/colorimetry/tests: its sample under A, summed every 5 nm from 360 to 830.
TEST(ColourScience, SampleUnderA) {
  Spectrum sample;
  for (const PublishedRow& row : published_table("sd_sample_xyz_check.csv")) {
    const int nm = std::stoi(row.text("wavelength_nm"));
    if (nm >= first_band_nm && nm <= band_nm(band_count - 1) && nm % band_step_nm == 0)
      sample[static_cast<std::size_t>((nm - first_band_nm) / band_step_nm)] = row.number("reflectance");
  }
  const Xyz white{1.098502, 1, 0.355850};
  const Lab published = to_lab(Xyz{0.1446365947, 0.1085828084, 0.0204663993}, white);
  EXPECT_LT(ciede2000(published, to_lab(unadapted(illuminant_a(), sample, white), white)), 0.1);
}

double sharpest_bend(const Spectrum& s) {
  double bend = 0;
  for (std::size_t i = 1; i + 1 < band_count; ++i)
    bend = std::max(bend, std::abs(s[i - 1] - 2 * s[i] + s[i + 1]));
  return bend;
}

// A smooth spectrum of each patch has the patch's published colour, could be a real reflectance, and bends in
// no band by more than a tenth.
TEST(Chart24, SmoothSpectraOfThePatches) {
  const Observer see(illuminant_d65());
  const auto rows = published_table("chart24_lab_srgb.csv");
  ASSERT_EQ(rows.size(), 24u);
  for (const PublishedRow& row : rows) {
    const auto code = [&](const char* name) { return static_cast<std::uint8_t>(std::stoi(row.text(name))); };
    const Rgb8 published{code("R_pub"), code("G_pub"), code("B_pub")};
    const Spectrum smooth = smooth_spectrum(to_linear_rgb(published));
    EXPECT_LT(ciede2000(to_lab(published), to_lab(see(smooth))), smooth_spectrum_tolerance_de00)
        << row.text("name");
    for (const double reflectance : smooth)
      EXPECT_TRUE(reflectance > 0 && reflectance < 1) << row.text("name");
    EXPECT_LT(sharpest_bend(smooth), 0.1) << row.text("name");
  }
}

}  // namespace
}  // namespace powderplan
