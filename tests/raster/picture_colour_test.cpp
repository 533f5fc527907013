// What the numbers of a file mean: profiles, gamma, chromaticities and inks.
// Expected values come from the published formulas by hand; LittleCMS as a judge is in tests/outside.
#include <cmath>

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

cv::Mat flat(const Rgb8& c, int type = CV_8UC3) {
  return {2, 2, type, cv::Scalar(c.b, c.g, c.r, 255)};
}

FileBytes png_of(const Rgb8& c) {
  return encoded(".png", flat(c));
}

// Adobe's four-letter word and sequence numbers before each piece (ICC.1, annex B.4).
FileBytes icc_segment(const FileBytes& piece, std::uint8_t number, std::uint8_t count) {
  return bytes_of(std::string_view("ICC_PROFILE\0", 12)) + FileBytes{number, count} + piece;
}

TEST(PictureColour, AnSrgbProfileChangesNothingAndNeedsNoNote) {
  const Picture picture = read_bytes(png_with(png_of({200, 90, 40}), "iCCP", iccp_data(srgb_profile())));
  expect_pixel(picture.pixels.at(0, 0), to_linear_rgb(Rgb8{200, 90, 40}), 2e-5);
  EXPECT_TRUE(picture.notes.empty());
}

// Linear Display P3 red in linear sRGB: (1.2249, -0.0420, -0.0196), from the primaries of both (SMPTE EG
// 432-1, IEC 61966-2-1); the same numbers stand in CSS Color 4's sample code.
const LinearRgb p3_red{1.2249, -0.0420, -0.0196};

TEST(PictureColour, ColoursOutsideSrgbKeepTheirValues) {
  for (const double gamma : {0.0, 2.2}) {
    const FileBytes profile = p3_profile(gamma);
    const Picture png = read_bytes(png_with(png_of({255, 0, 0}), "iCCP", iccp_data(profile)));
    expect_pixel(png.pixels.at(0, 0), p3_red, 5e-4);
    const Picture wide = read_bytes(png_with(
        encoded(".png", cv::Mat(2, 2, CV_16UC3, cv::Scalar(0, 0, 65535))), "iCCP", iccp_data(profile)));
    expect_pixel(wide.pixels.at(0, 0), p3_red, 5e-4);
    const Picture webp = read_bytes(webp_with(
        encoded(".webp", flat({255, 0, 0}), {cv::IMWRITE_WEBP_QUALITY, 101}), 2, 2, "ICCP", profile));
    expect_pixel(webp.pixels.at(0, 0), p3_red, 5e-4);
  }
}

TEST(PictureColour, AJpegProfileInPiecesIsPutTogether) {
  const FileBytes profile = p3_profile();
  const auto cut = profile.begin() + static_cast<std::ptrdiff_t>(profile.size() / 2);
  FileBytes jpeg =
      encoded(".jpg", cv::Mat(16, 16, CV_8UC3, cv::Scalar(0, 0, 255)), {cv::IMWRITE_JPEG_QUALITY, 100});
  // The pieces may stand in any order.
  jpeg = jpeg_with(jpeg, 0xe2, icc_segment({profile.begin(), cut}, 1, 2));
  jpeg = jpeg_with(jpeg, 0xe2, icc_segment({cut, profile.end()}, 2, 2));
  const Picture picture = read_bytes(jpeg);
  expect_pixel(picture.pixels.at(8, 8), p3_red, 0.02);
  EXPECT_TRUE(picture.notes.empty());
}

const std::vector<std::string> damaged{"the embedded colour profile is damaged: taken as sRGB"};

TEST(PictureColour, ADamagedProfileIsReportedAndTheRestRead) {
  const FileBytes profile = srgb_profile();
  const FileBytes half(profile.begin(), profile.begin() + 200);
  const Picture png = read_bytes(png_with(png_of({9, 99, 199}), "iCCP", iccp_data(half)));
  expect_pixel(png.pixels.at(0, 0), to_linear_rgb(Rgb8{9, 99, 199}), 1e-6);
  EXPECT_EQ(png.notes, damaged);
  const FileBytes jpeg = encoded(".jpg", cv::Mat(8, 8, CV_8UC3, cv::Scalar(99, 99, 99)));
  EXPECT_EQ(read_bytes(jpeg_with(jpeg, 0xe2, icc_segment(half, 1, 1))).notes, damaged);
  // A piece is missing.
  EXPECT_EQ(read_bytes(jpeg_with(jpeg, 0xe2, icc_segment(profile, 1, 2))).notes, damaged);
}

TEST(PictureColour, AProfileOfAnotherKindIsReported) {
  const FileBytes jpeg = encoded(".jpg", cv::Mat(8, 8, CV_8UC3, cv::Scalar(99, 99, 99)));
  EXPECT_EQ(read_bytes(jpeg_with(jpeg, 0xe2, icc_segment(grey_profile(2.2), 1, 1))).notes,
            std::vector<std::string>{
                "the embedded colour profile is for grey pictures, and this is none: taken as sRGB"});
}

TEST(PictureColour, GreyProfiles) {
  const FileBytes png = encoded(".png", cv::Mat(1, 1, CV_8UC1, cv::Scalar(100)));
  const Picture picture = read_bytes(png_with(png, "iCCP", iccp_data(grey_profile(1.8))));
  const double light = std::pow(100 / 255.0, 1.8);
  expect_pixel(picture.pixels.at(0, 0), {light, light, light}, 2e-4);
  EXPECT_TRUE(picture.notes.empty());
}

TEST(PictureColour, AGreyJpegMayCarryAnRgbProfile) {
  const FileBytes jpeg = encoded(".jpg", cv::Mat(8, 8, CV_8UC1, cv::Scalar(100)));
  const Picture picture = read_bytes(jpeg_with(jpeg, 0xe2, icc_segment(p3_profile(), 1, 1)));
  expect_pixel(picture.pixels.at(0, 0), to_linear_rgb(Rgb8{100, 100, 100}), 2e-4);
}

// PNG third edition, 11.3.2: gAMA and cHRM as integers of 1/100 000.
FileBytes gama(std::uint32_t value) {
  return big_endian(value);
}
FileBytes chrm(const std::vector<std::uint32_t>& values) {
  FileBytes out;
  for (const std::uint32_t v : values)
    out = out + big_endian(v);
  return out;
}

TEST(PictureColour, GammaIsHonoured) {
  const Picture linear = read_bytes(png_with(png_of({51, 102, 204}), "gAMA", gama(100000)));
  expect_pixel(linear.pixels.at(0, 0), {0.2, 0.4, 0.8}, 1e-6);
  EXPECT_TRUE(linear.notes.empty());
  const Picture steep = read_bytes(png_with(png_of({51, 102, 204}), "gAMA", gama(50000)));
  expect_pixel(steep.pixels.at(0, 0), {0.04, 0.16, 0.64}, 1e-6);
}

TEST(PictureColour, ChromaticitiesAreHonoured) {
  const FileBytes p3 = chrm({31270, 32900, 68000, 32000, 26500, 69000, 15000, 6000});
  const Picture picture =
      read_bytes(png_with(png_with(png_of({255, 0, 0}), "gAMA", gama(45455)), "cHRM", p3));
  expect_pixel(picture.pixels.at(0, 0), p3_red, 5e-4);
  // White stays white even when the file's own white is D50.
  const FileBytes d50 = chrm({34570, 35850, 64000, 33000, 30000, 60000, 15000, 6000});
  const Picture white = read_bytes(png_with(png_of({255, 255, 255}), "cHRM", d50));
  expect_pixel(white.pixels.at(0, 0), {1, 1, 1}, 1e-5);
  // Impossible ones are left aside.
  const FileBytes line = chrm({31270, 32900, 30000, 30000, 30000, 30000, 30000, 30000});
  const Picture odd = read_bytes(png_with(png_of({200, 90, 40}), "cHRM", line));
  expect_pixel(odd.pixels.at(0, 0), to_linear_rgb(Rgb8{200, 90, 40}), 1e-6);
}

// PNG third edition, 4.3: iCCP before sRGB before gAMA.
TEST(PictureColour, TheMoreExactTagWins) {
  const FileBytes with_gamma = png_with(png_of({200, 90, 40}), "gAMA", gama(100000));
  const Picture srgb = read_bytes(png_with(with_gamma, "sRGB", {0}));
  expect_pixel(srgb.pixels.at(0, 0), to_linear_rgb(Rgb8{200, 90, 40}), 1e-6);
  EXPECT_TRUE(srgb.notes.empty());
  const FileBytes red = png_with(png_of({255, 0, 0}), "gAMA", gama(100000));
  const Picture profile = read_bytes(png_with(red, "iCCP", iccp_data(p3_profile())));
  expect_pixel(profile.pixels.at(0, 0), p3_red, 5e-4);
}

TEST(PictureColour, CodingPointsThatAreNotReadAreSaid) {
  const Picture picture = read_bytes(png_with(png_of({1, 2, 3}), "cICP", {9, 16, 0, 1}));
  EXPECT_EQ(picture.notes.back(), "its cICP colour description is not read: colours may be off");
}

}  // namespace
}  // namespace powderplan::testing
