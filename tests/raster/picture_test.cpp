#include "raster/picture.h"

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

// Every pixel another colour, repeatable.
cv::Mat pattern(int width, int height, int type = CV_8UC3) {
  cv::Mat out(height, width, type);
  cv::RNG random(7);
  random.fill(out, cv::RNG::UNIFORM, 0, out.depth() == CV_16U ? 65536 : 256);
  return out;
}

double expected(const cv::Mat& bgr, int x, int y, int channel) {
  const int c = bgr.channels() == 1 ? 0 : channel == 3 ? 3 : 2 - channel;
  const std::size_t i = static_cast<std::size_t>(x * bgr.channels() + c);
  const double share = bgr.depth() == CV_16U ? bgr.ptr<std::uint16_t>(y)[i] / 65535.0 : bgr.ptr(y)[i] / 255.0;
  return channel == 3 ? share : srgb_decode(share);
}

void expect_same(const Picture& picture, const cv::Mat& bgr, double tolerance = 1e-6) {
  ASSERT_EQ(picture.pixels.width(), bgr.cols);
  ASSERT_EQ(picture.pixels.height(), bgr.rows);
  for (int y = 0; y < bgr.rows; ++y) {
    for (int x = 0; x < bgr.cols; ++x) {
      const LinearPixel& p = picture.pixels.at(x, y);
      ASSERT_NEAR(p.r, expected(bgr, x, y, 0), tolerance) << x << "," << y;
      ASSERT_NEAR(p.g, expected(bgr, x, y, 1), tolerance);
      ASSERT_NEAR(p.b, expected(bgr, x, y, 2), tolerance);
      ASSERT_NEAR(p.alpha, bgr.channels() == 4 ? expected(bgr, x, y, 3) : 1.0, tolerance);
    }
  }
}

const std::vector<std::string> assumed_srgb{"no colour profile: taken as sRGB"};

TEST(Picture, LosslessKindsKeepEveryPixelAtEverySmallSize) {
  for (const char* kind : {".png", ".bmp", ".ppm", ".tiff"}) {
    for (const cv::Size size : {cv::Size(1, 1), {1, 9}, {9, 1}, {2, 9}, {9, 2}, {3, 3}, {17, 33}}) {
      SCOPED_TRACE(std::string(kind) + " " + std::to_string(size.width) + "x" + std::to_string(size.height));
      const cv::Mat stored = pattern(size.width, size.height);
      const Picture picture = read_bytes(encoded(kind, stored));
      expect_same(picture, stored);
      EXPECT_EQ(picture.notes, assumed_srgb);
    }
  }
}

TEST(Picture, SixteenBitsAreKept) {
  for (const char* kind : {".png", ".ppm", ".tiff"}) {
    SCOPED_TRACE(kind);
    const cv::Mat stored = pattern(13, 7, CV_16UC3);
    expect_same(read_bytes(encoded(kind, stored)), stored);
  }
}

TEST(Picture, GreyIsTheSameInAllChannels) {
  for (const int type : {CV_8UC1, CV_16UC1}) {
    for (const char* kind : {".png", ".pgm", ".tiff"}) {
      SCOPED_TRACE(kind);
      const cv::Mat stored = pattern(13, 7, type);
      expect_same(read_bytes(encoded(kind, stored)), stored);
    }
  }
}

TEST(Picture, AlphaIsKeptAndNotMultipliedIn) {
  for (const int type : {CV_8UC4, CV_16UC4}) {
    const cv::Mat stored = pattern(13, 7, type);
    expect_same(read_bytes(encoded(".png", stored)), stored);
  }
}

TEST(Picture, LosslessWebpKeepsColourAndAlpha) {
  const std::vector<int> lossless{cv::IMWRITE_WEBP_QUALITY, 101};
  const cv::Mat opaque = pattern(13, 7);
  expect_same(read_bytes(encoded(".webp", opaque, lossless)), opaque);
  cv::Mat clear = pattern(13, 7, CV_8UC4);
  for (int y = 0; y < clear.rows; ++y) {
    for (int x = 0; x < clear.cols; ++x)
      clear.at<cv::Vec4b>(y, x)[3] =
          static_cast<std::uint8_t>(1 + x * 20);  // lossless WebP may forget colours at alpha 0
  }
  expect_same(read_bytes(encoded(".webp", clear, lossless)), clear);
}

TEST(Picture, LossyKindsComeClose) {
  cv::Mat flat(32, 32, CV_8UC3, cv::Scalar(40, 90, 200));
  for (const char* kind : {".jpg", ".webp"}) {
    SCOPED_TRACE(kind);
    const Picture picture = read_bytes(encoded(kind, flat));
    expect_pixel(picture.pixels.at(16, 16), to_linear_rgb(Rgb8{200, 90, 40}), 0.02);
  }
  const Picture grey = read_bytes(encoded(".jpg", cv::Mat(8, 8, CV_8UC1, cv::Scalar(128))));
  expect_pixel(grey.pixels.at(3, 3), to_linear_rgb(Rgb8{128, 128, 128}), 1e-6);
}

TEST(Picture, ProgressiveJpegReads) {
  const cv::Mat flat(32, 32, CV_8UC3, cv::Scalar(40, 90, 200));
  const Picture picture = read_bytes(encoded(".jpg", flat, {cv::IMWRITE_JPEG_PROGRESSIVE, 1}));
  expect_pixel(picture.pixels.at(0, 31), to_linear_rgb(Rgb8{200, 90, 40}), 0.02);
}

TEST(Picture, TheNameDoesNotDecideTheKind) {
  const cv::Mat stored = pattern(5, 4);
  expect_same(read_bytes(encoded(".png", stored), {}, "holiday.jpg"), stored);
  expect_same(read_bytes(encoded(".bmp", stored), {}, "holiday"), stored);
}

TEST(Picture, PaletteWithTransparentEntries) {
  // One row of four pixels, two bits each: entries 0, 1, 2, 3; tRNS gives alpha to the first two.
  const FileBytes header = big_endian(4) + big_endian(1) + FileBytes{2, 3, 0, 0, 0};
  const FileBytes raw{0, 0b00011011};
  uLongf size = compressBound(raw.size());
  FileBytes packed(size);
  compress(packed.data(), &size, raw.data(), raw.size());
  packed.resize(size);
  const FileBytes png = FileBytes{0x89, 'P', 'N', 'G', 13, 10, 26, 10} + png_chunk("IHDR", header) +
                        png_chunk("PLTE", {255, 0, 0, 0, 255, 0, 0, 0, 255, 9, 9, 9}) +
                        png_chunk("tRNS", {0, 51}) + png_chunk("IDAT", packed) + png_chunk("IEND", {});
  const Picture picture = read_bytes(png);
  expect_pixel(picture.pixels.at(0, 0), {1, 0, 0}, 1e-6);
  EXPECT_FLOAT_EQ(picture.pixels.at(0, 0).alpha, 0.0f);
  expect_pixel(picture.pixels.at(1, 0), {0, 1, 0}, 1e-6);
  EXPECT_FLOAT_EQ(picture.pixels.at(1, 0).alpha, 0.2f);
  expect_pixel(picture.pixels.at(2, 0), {0, 0, 1}, 1e-6);
  EXPECT_FLOAT_EQ(picture.pixels.at(3, 0).alpha, 1.0f);
}

TEST(Picture, ATransparentColourOfAnRgbPngIsAlpha) {
  cv::Mat stored(1, 2, CV_8UC3, cv::Scalar(3, 2, 1));
  stored.at<cv::Vec3b>(0, 1) = {9, 9, 9};
  const Picture picture = read_bytes(png_with(encoded(".png", stored), "tRNS", {0, 1, 0, 2, 0, 3}));
  EXPECT_EQ(picture.pixels.at(0, 0).alpha, 0.0f);
  EXPECT_EQ(picture.pixels.at(1, 0).alpha, 1.0f);
}

TEST(Picture, OfAnAnimatedPngTheStillPictureIsTaken) {
  const cv::Mat stored = pattern(4, 4);
  const Picture picture = read_bytes(png_with(encoded(".png", stored), "acTL", {0, 0, 0, 2, 0, 0, 0, 0}));
  expect_same(picture, stored);
  EXPECT_EQ(picture.notes.back(), "an animation: its still picture is taken");
}

TEST(Picture, WhatStandsBehindThePixelsOrTheEndOfAPngChangesNothing) {
  const FileBytes plain = encoded(".png", pattern(4, 4));
  const std::vector<std::string> notes = read_bytes(plain).notes;
  for (const FileBytes& more : {png_chunk("acTL", {0, 0, 0, 2, 0, 0, 0, 0}), png_chunk("cICP", {9, 16, 0, 1}),
                                png_chunk("iCCP", {1, 2, 3})})
    EXPECT_EQ(read_bytes(inserted(plain, plain.size() - 12, more)).notes, notes);
  EXPECT_EQ(read_bytes(plain + FileBytes{0x7f, 0, 0, 0, 'e', 'X', 'I', 'f'}).notes, notes);
}

}  // namespace
}  // namespace powderplan::testing
