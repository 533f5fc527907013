// JPEG 2000, Radiance HDR and OpenEXR, mostly as OpenCV writes them.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <opencv2/core.hpp>

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

const std::string again = "; copy or export the picture again";
const std::string cut_short = "a: is cut short: part of the picture is missing" + again;
const std::string unread = ", a kind that cannot be read; save it as PNG, TIFF or JPEG";
const std::string given_up =
    "a: is damaged, cut short or of a rare variety; export it again as PNG, TIFF or JPEG";
const std::string bomb =
    "a: is 64250 x 64250 pixels, 4128.1 megapixels; the cap is 200.0; scale the picture down";
const std::string linear_light =
    "float samples without a colour profile: taken as linear light with sRGB primaries";

FileBytes replaced(FileBytes bytes, std::size_t at, const FileBytes& with) {
  std::copy(with.begin(), with.end(), bytes.begin() + static_cast<std::ptrdiff_t>(at));
  return bytes;
}
std::size_t place_of(const FileBytes& bytes, std::string_view text) {
  const FileBytes wanted = bytes_of(text);
  return static_cast<std::size_t>(std::search(bytes.begin(), bytes.end(), wanted.begin(), wanted.end()) -
                                  bytes.begin());
}
// Text in place of other text of any length.
FileBytes exchanged(const FileBytes& bytes, std::string_view text, std::string_view by) {
  const auto at = bytes.begin() + static_cast<std::ptrdiff_t>(place_of(bytes, text));
  return FileBytes(bytes.begin(), at) + bytes_of(by) +
         FileBytes(at + static_cast<std::ptrdiff_t>(text.size()), bytes.end());
}

cv::Mat noise(int width, int height, int type, double most) {
  cv::Mat out(height, width, type);
  cv::RNG random(7);
  random.fill(out, cv::RNG::UNIFORM, 0, most);
  return out;
}

// ---- JPEG 2000

// One pixel, #c86432, losslessly, written by Pillow with OpenJPEG 2.5.
const FileBytes one_pixel_jp2{
    0x00, 0x00, 0x00, 0x0c, 0x6a, 0x50, 0x20, 0x20, 0x0d, 0x0a, 0x87, 0x0a, 0x00, 0x00, 0x00, 0x14, 0x66,
    0x74, 0x79, 0x70, 0x6a, 0x70, 0x32, 0x20, 0x00, 0x00, 0x00, 0x00, 0x6a, 0x70, 0x32, 0x20, 0x00, 0x00,
    0x00, 0x2d, 0x6a, 0x70, 0x32, 0x68, 0x00, 0x00, 0x00, 0x16, 0x69, 0x68, 0x64, 0x72, 0x00, 0x00, 0x00,
    0x01, 0x00, 0x00, 0x00, 0x01, 0x00, 0x03, 0x07, 0x07, 0x00, 0x00, 0x00, 0x00, 0x00, 0x0f, 0x63, 0x6f,
    0x6c, 0x72, 0x01, 0x00, 0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x00, 0x00, 0x95, 0x6a, 0x70, 0x32, 0x63,
    0xff, 0x4f, 0xff, 0x51, 0x00, 0x2f, 0x00, 0x00, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x00,
    0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00,
    0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x03, 0x07, 0x01, 0x01, 0x07, 0x01, 0x01, 0x07, 0x01, 0x01,
    0xff, 0x52, 0x00, 0x0c, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x04, 0x04, 0x00, 0x01, 0xff, 0x5c, 0x00,
    0x04, 0x40, 0x40, 0xff, 0x64, 0x00, 0x25, 0x00, 0x01, 0x43, 0x72, 0x65, 0x61, 0x74, 0x65, 0x64, 0x20,
    0x62, 0x79, 0x20, 0x4f, 0x70, 0x65, 0x6e, 0x4a, 0x50, 0x45, 0x47, 0x20, 0x76, 0x65, 0x72, 0x73, 0x69,
    0x6f, 0x6e, 0x20, 0x32, 0x2e, 0x35, 0x2e, 0x30, 0xff, 0x90, 0x00, 0x0a, 0x00, 0x00, 0x00, 0x00, 0x00,
    0x1d, 0x00, 0x01, 0xff, 0x93, 0xcf, 0xb4, 0x08, 0x04, 0x4f, 0xc3, 0xe7, 0x04, 0x09, 0x6f, 0xcf, 0xb4,
    0x08, 0x06, 0xcf, 0xff, 0xd9};
// Where things stand in it.
constexpr std::size_t jp2_colour = 62, jp2_space = 73, jp2_stream = 85;
constexpr std::size_t siz_size = jp2_stream + 8, siz_corner = jp2_stream + 16;
constexpr std::size_t siz_count = jp2_stream + 40, siz_first = jp2_stream + 42;

// Losslessly, so that what comes back is what went in.
FileBytes jp2(const cv::Mat& bgr) {
  return encoded(".jp2", bgr, {cv::IMWRITE_JPEG2000_COMPRESSION_X1000, 1000});
}

FileBytes box(std::string_view type, const FileBytes& contents) {
  return big_endian(static_cast<std::uint32_t>(contents.size() + 8)) + bytes_of(type) + contents;
}
// With another colour specification, and further boxes behind it.
FileBytes with_header_boxes(const FileBytes& file, const FileBytes& boxes) {
  const std::size_t at = place_of(file, "colr") - 4, end = place_of(file, "jp2c") - 4;
  const std::size_t header = place_of(file, "jp2h") - 4;
  FileBytes out(file.begin(), file.begin() + static_cast<std::ptrdiff_t>(at));
  out = out + boxes + FileBytes(file.begin() + static_cast<std::ptrdiff_t>(end), file.end());
  return replaced(out, header, big_endian(static_cast<std::uint32_t>(at - header + boxes.size())));
}

void expect_same(const Picture& picture, const cv::Mat& bgr, double tolerance) {
  ASSERT_EQ(picture.pixels.width(), bgr.cols);
  ASSERT_EQ(picture.pixels.height(), bgr.rows);
  const double full = bgr.depth() == CV_8U ? 255 : 65535;
  cv::Mat real;
  bgr.convertTo(real, CV_64F, 1 / full);
  const int channels = bgr.channels();
  for (int y = 0; y < bgr.rows; ++y) {
    for (int x = 0; x < bgr.cols; ++x) {
      const double* p = real.ptr<double>(y) + x * channels;
      const int r = channels >= 3 ? 2 : 0, g = channels >= 3 ? 1 : 0;
      expect_pixel(picture.pixels.at(x, y), {srgb_decode(p[r]), srgb_decode(p[g]), srgb_decode(p[0])},
                   tolerance);
      if (channels == 4) {
        EXPECT_NEAR(picture.pixels.at(x, y).alpha, p[3], 1e-6);
      }
    }
  }
}

LinearRgb coded(double r, double g, double b) {
  return {srgb_decode(r / 255), srgb_decode(g / 255), srgb_decode(b / 255)};
}

TEST(PictureJpeg2000, OnePixel) {
  const Picture picture = read_bytes(one_pixel_jp2);
  ASSERT_EQ(picture.pixels.size(), 1u);
  expect_pixel(picture.pixels[0], coded(200, 100, 50), 1e-6);
  EXPECT_EQ(picture.pixels[0].alpha, 1.0f);
  EXPECT_TRUE(picture.notes.empty());  // the file says that it is sRGB
}

TEST(PictureJpeg2000, ABareCodestreamSaysNothingOfColours) {
  const Picture picture = read_bytes(FileBytes(one_pixel_jp2.begin() + jp2_stream, one_pixel_jp2.end()));
  expect_pixel(picture.pixels[0], coded(200, 100, 50), 1e-6);
  EXPECT_EQ(picture.notes, std::vector<std::string>{"no colour profile: taken as sRGB"});
}

TEST(PictureJpeg2000, EveryNumberOfChannelsAndBothDepths) {
  for (const int type : {CV_8UC1, CV_8UC3, CV_8UC4, CV_16UC1, CV_16UC3, CV_16UC4}) {
    SCOPED_TRACE(type);
    const cv::Mat picture = noise(37, 33, type, CV_MAT_DEPTH(type) == CV_8U ? 256 : 65536);
    expect_same(read_bytes(jp2(picture)), picture, 1e-6);
  }
}

TEST(PictureJpeg2000, GreyWithAlpha) {
  // One pixel, grey 200 with alpha 77, as above.
  const FileBytes both{
      0x00, 0x00, 0x00, 0x0c, 0x6a, 0x50, 0x20, 0x20, 0x0d, 0x0a, 0x87, 0x0a, 0x00, 0x00, 0x00, 0x14, 0x66,
      0x74, 0x79, 0x70, 0x6a, 0x70, 0x32, 0x20, 0x00, 0x00, 0x00, 0x00, 0x6a, 0x70, 0x32, 0x20, 0x00, 0x00,
      0x00, 0x2d, 0x6a, 0x70, 0x32, 0x68, 0x00, 0x00, 0x00, 0x16, 0x69, 0x68, 0x64, 0x72, 0x00, 0x00, 0x00,
      0x01, 0x00, 0x00, 0x00, 0x01, 0x00, 0x02, 0x07, 0x07, 0x00, 0x00, 0x00, 0x00, 0x00, 0x0f, 0x63, 0x6f,
      0x6c, 0x72, 0x01, 0x00, 0x00, 0x00, 0x00, 0x00, 0x11, 0x00, 0x00, 0x00, 0x8d, 0x6a, 0x70, 0x32, 0x63,
      0xff, 0x4f, 0xff, 0x51, 0x00, 0x2c, 0x00, 0x00, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x00,
      0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00,
      0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x02, 0x07, 0x01, 0x01, 0x07, 0x01, 0x01, 0xff, 0x52, 0x00,
      0x0c, 0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x04, 0x04, 0x00, 0x01, 0xff, 0x5c, 0x00, 0x04, 0x40, 0x40,
      0xff, 0x64, 0x00, 0x25, 0x00, 0x01, 0x43, 0x72, 0x65, 0x61, 0x74, 0x65, 0x64, 0x20, 0x62, 0x79, 0x20,
      0x4f, 0x70, 0x65, 0x6e, 0x4a, 0x50, 0x45, 0x47, 0x20, 0x76, 0x65, 0x72, 0x73, 0x69, 0x6f, 0x6e, 0x20,
      0x32, 0x2e, 0x35, 0x2e, 0x30, 0xff, 0x90, 0x00, 0x0a, 0x00, 0x00, 0x00, 0x00, 0x00, 0x18, 0x00, 0x01,
      0xff, 0x93, 0xcf, 0xb4, 0x08, 0x04, 0x4f, 0xc7, 0xd4, 0x04, 0x08, 0x7b, 0xff, 0xd9};
  const Picture picture = read_bytes(both);
  expect_pixel(picture.pixels[0], coded(200, 200, 200), 1e-6);
  EXPECT_FLOAT_EQ(picture.pixels[0].alpha, 77 / 255.0f);
}

TEST(PictureJpeg2000, TwelveBits) {
  // Less depth in the header of 16 bits moves every sample by half the difference of the full scales.
  const cv::Mat stored(33, 33, CV_16UC1, cv::Scalar(30720 + 2048));
  FileBytes bytes = jp2(stored);
  bytes[place_of(bytes, "ihdr") + 14] = 11;
  bytes[place_of(bytes, "jp2c") + 4 + 42] = 11;
  expect_pixel(read_bytes(bytes).pixels[0], coded(2048 * 255 / 4095., 2048 * 255 / 4095., 2048 * 255 / 4095.),
               1e-5);
}

TEST(PictureJpeg2000, StandardYcc) {
  // Y 200, Cb 100, Cr 50 by the matrix of IEC 61966-2-1, annex F.
  const Picture picture = read_bytes(replaced(one_pixel_jp2, jp2_space, big_endian(18)));
  expect_pixel(picture.pixels[0], coded(91, 255, 150), 1e-6);
}

TEST(PictureJpeg2000, AnEmbeddedProfileIsUsed) {
  const FileBytes colr = box("colr", FileBytes{2, 0, 0} + p3_profile());
  const cv::Mat red(33, 33, CV_8UC3, cv::Scalar(0, 0, 255));
  const Picture picture = read_bytes(with_header_boxes(jp2(red), colr));
  // See picture_colour_test.cpp for these numbers.
  expect_pixel(picture.pixels[0], {1.2249, -0.0420, -0.0196}, 5e-4);
  EXPECT_TRUE(picture.notes.empty());
}

TEST(PictureJpeg2000, APalette) {
  // Three colours; the codestream holds their numbers.
  const cv::Mat numbers(33, 33, CV_8UC1, cv::Scalar(2));
  const FileBytes palette = box("pclr", FileBytes{0, 3, 3, 7, 7, 7, 1, 2, 3, 4, 5, 6, 200, 100, 50}) +
                            box("cmap", FileBytes{0, 0, 1, 0, 0, 0, 1, 1, 0, 0, 1, 2}) +
                            box("colr", FileBytes{1, 0, 0, 0, 0, 0, 16});
  expect_pixel(read_bytes(with_header_boxes(jp2(numbers), palette)).pixels[0], coded(200, 100, 50), 1e-6);
}

TEST(PictureJpeg2000, MultipliedAlphaIsDividedOut) {
  const cv::Mat half(33, 33, CV_8UC4, cv::Scalar(25, 50, 100, 128));
  const FileBytes boxes =
      box("colr", FileBytes{1, 0, 0, 0, 0, 0, 16}) +
      box("cdef", FileBytes{0, 4, 0, 0, 0, 0, 0, 1, 0, 1, 0, 0, 0, 2, 0, 2, 0, 0, 0, 3, 0, 3, 0, 2, 0, 0});
  const Picture picture = read_bytes(with_header_boxes(jp2(half), boxes));
  expect_pixel(picture.pixels[0], coded(199, 100, 50), 1e-6);
  EXPECT_FLOAT_EQ(picture.pixels[0].alpha, 128 / 255.0f);
}

TEST(PictureJpeg2000, WhatCannotBeRead) {
  const auto kind = [](std::string_view with) {
    return fmt::format("a: is a JPEG 2000 picture with {}{}", with, unread);
  };
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, jp2_space, big_endian(12)), "a"), kind("CMYK colours"));
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, jp2_space, big_endian(14)), "a"),
            kind("colours of space 14"));
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, siz_first, {0x87}), "a"), kind("signed samples"));
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, siz_first, {0x03}), "a"), kind("samples of 4 bits"));
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, siz_first, {0x12}), "a"), kind("samples of 19 bits"));
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, siz_first + 1, {2}), "a"),
            kind("colours at less than its full size"));
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, siz_count, {0, 5}), "a"), kind("5 components"));
  const cv::Mat numbers(33, 33, CV_8UC1, cv::Scalar(0));
  EXPECT_EQ(message_for(with_header_boxes(jp2(numbers), box("pclr", {0, 1, 1, 7, 9})), "a"),
            kind("an unusual palette"));
}

TEST(PictureJpeg2000, CutShortOrDamaged) {
  for (std::size_t size = 12; size < one_pixel_jp2.size(); ++size) {
    const FileBytes part(one_pixel_jp2.begin(), one_pixel_jp2.begin() + static_cast<std::ptrdiff_t>(size));
    ASSERT_EQ(message_for(part, "a"), cut_short) << size;
  }
  const FileBytes stream(one_pixel_jp2.begin() + jp2_stream, one_pixel_jp2.end());
  for (std::size_t by = 1; by < stream.size() - 4; ++by)
    ASSERT_EQ(message_for(shortened(stream, by), "a"), cut_short) << by;
  // Closed again after the cut, so that only OpenJPEG notices.
  EXPECT_EQ(message_for(shortened(stream, 12) + FileBytes{0xff, 0xd9}, "a"), given_up);
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, jp2_colour, big_endian(3)), "a"),
            "a: is damaged (a box has an impossible length)" + again);
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, jp2_stream, {0}), "a"),
            "a: is damaged (its codestream does not begin with its size)" + again);
}

TEST(PictureJpeg2000, TheCapIsCheckedByTheHeader) {
  const FileBytes edge = big_endian(64250);
  const FileBytes large = replaced(one_pixel_jp2, siz_size, edge + edge);
  EXPECT_EQ(message_for(large, "a"), bomb);
  EXPECT_EQ(message_for(FileBytes(large.begin() + jp2_stream, large.end()), "a"), bomb);
  EXPECT_EQ(message_for(replaced(one_pixel_jp2, siz_corner, big_endian(1)), "a"),
            "a: has no pixels: it is 0 x 1" + again);
}

// ---- Radiance HDR

TEST(PictureRadiance, EverySizeAndBothPackings) {
  for (const auto& [width, height] : {std::pair(1, 1), {7, 3}, {8, 1}, {37, 5}}) {
    for (const int packed : {0, 1}) {  // OpenCV 4.6 has no name for these
      const cv::Mat colours = noise(width, height, CV_32FC3, 1);
      const Picture picture = read_bytes(encoded(".hdr", colours, {packed, packed}));
      ASSERT_EQ(picture.pixels.width(), width);
      ASSERT_EQ(picture.pixels.height(), height);
      for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
          const cv::Vec3f& bgr = colours.at<cv::Vec3f>(y, x);
          // Eight bits for the brightest of the three.
          expect_pixel(picture.pixels.at(x, y), {bgr[2], bgr[1], bgr[0]}, 1 / 128.0);
        }
      }
      EXPECT_EQ(picture.notes, std::vector<std::string>{linear_light});
    }
  }
}

TEST(PictureRadiance, BrighterThanWhiteIsCut) {
  cv::Mat colours(1, 2, CV_32FC3, cv::Scalar(0.25, 0.5, 0.5));
  colours.at<cv::Vec3f>(0, 1) = {0.5f, 2, 64};
  const Picture picture = read_bytes(encoded(".hdr", colours));
  expect_pixel(picture.pixels[0], {0.5, 0.5, 0.25}, 0);
  expect_pixel(picture.pixels[1], {1, 1, 0.5}, 0);
  EXPECT_EQ(picture.notes,
            (std::vector<std::string>{
                linear_light, "1 of 2 pixels are brighter than white (up to 64 times): cut to white"}));
}

const FileBytes one_pixel_hdr =
    bytes_of("#?RADIANCE\n# a comment\nEXPOSURE=1\nFORMAT=32-bit_rle_rgbe\n\n-Y 1 +X 1\n") +
    FileBytes{128, 64, 32, 128};

TEST(PictureRadiance, PrimariesOfTheFile) {
  expect_pixel(read_bytes(one_pixel_hdr).pixels[0], {0.5, 0.25, 0.125}, 0);
  // Those of Display P3, in the order red, green, blue, white; see picture_colour_test.cpp.
  const Picture picture =
      read_bytes(exchanged(replaced(one_pixel_hdr, one_pixel_hdr.size() - 4, {128, 0, 0, 128}), "EXPOSURE=1",
                           "PRIMARIES=0.680 0.320 0.265 0.690 0.150 0.060 0.3127 0.3290"));
  expect_pixel(picture.pixels[0], {0.61245, -0.0210, -0.0098}, 3e-4);
  EXPECT_TRUE(picture.notes.empty());
}

TEST(PictureRadiance, BadOnes) {
  const std::string sideways = "a: is a Radiance HDR picture stored sideways or upside down" + unread;
  for (const char* size : {"+Y 1 +X 1", "-Y 1 -X 1", "+X 1 -Y 1", "-X 1 +Y 1"})
    EXPECT_EQ(message_for(exchanged(one_pixel_hdr, "-Y 1 +X 1", size), "a"), sideways) << size;
  for (const char* size : {"-Y x +X 1", "-Y 1", "1 1", "-Y 1 +X", "-Y -1 +X 1"})
    EXPECT_EQ(message_for(exchanged(one_pixel_hdr, "-Y 1 +X 1", size), "a"),
              "a: is damaged (its width and height are missing)" + again)
        << size;
  EXPECT_EQ(message_for(exchanged(one_pixel_hdr, "rle_rgbe", "rle_xyze"), "a"),
            "a: is a Radiance HDR picture of XYZ samples" + unread);
  EXPECT_EQ(message_for(exchanged(one_pixel_hdr, "FORMAT=32-bit_rle_rgbe\n", ""), "a"),
            "a: is damaged (its format is not RGBE)" + again);
  EXPECT_EQ(message_for(exchanged(one_pixel_hdr, "-Y 1 +X 1", "-Y 64250 +X 64250"), "a"), bomb);
  EXPECT_EQ(message_for(exchanged(one_pixel_hdr, "-Y 1", "-Y 0"), "a"),
            "a: has no pixels: it is 1 x 0" + again);
  for (std::size_t by = 5; by < one_pixel_hdr.size() - 10; ++by)
    ASSERT_EQ(message_for(shortened(one_pixel_hdr, by), "a"), cut_short) << by;
  const FileBytes packed = encoded(".hdr", noise(40, 6, CV_32FC3, 1));
  for (std::size_t by = 1; by < 400; by += 7)
    ASSERT_EQ(message_for(shortened(packed, by), "a"), given_up) << by;
  // The length of the first packed row.
  const std::size_t row = place_of(packed, "-Y 6 +X 40\n") + 11;
  EXPECT_EQ(message_for(replaced(packed, row + 3, {41}), "a"), given_up);
}

// ---- OpenEXR

struct ExrChannel {
  std::string name;
  std::vector<float> values;
  int sampling = 1;
};

FileBytes exr_attribute(std::string_view name, std::string_view type, const FileBytes& value) {
  return bytes_of(name) + FileBytes{0} + bytes_of(type) + FileBytes{0} +
         little_endian(static_cast<std::uint32_t>(value.size())) + value;
}
FileBytes little_float(float value) {
  std::uint32_t bits = 0;
  std::memcpy(&bits, &value, sizeof bits);
  return little_endian(bits);
}

// Unpacked rows of 32-bit floats; the channels must be given in the order of the alphabet.
FileBytes exr(int width, int height, const std::vector<ExrChannel>& channels, const FileBytes& further = {},
              std::uint32_t version = 2) {
  FileBytes list;
  for (const ExrChannel& c : channels)
    list = list + bytes_of(c.name) + FileBytes{0} + little_endian(2) + little_endian(0) +
           little_endian(static_cast<std::uint32_t>(c.sampling)) +
           little_endian(static_cast<std::uint32_t>(c.sampling));
  // A window that does not begin at 0.
  const FileBytes window = little_endian(5) + little_endian(static_cast<std::uint32_t>(-3)) +
                           little_endian(static_cast<std::uint32_t>(5 + width - 1)) +
                           little_endian(static_cast<std::uint32_t>(-3 + height - 1));
  FileBytes out =
      little_endian(20000630) + little_endian(version) +
      exr_attribute("channels", "chlist", list + FileBytes{0}) +
      exr_attribute("compression", "compression", {0}) + exr_attribute("dataWindow", "box2i", window) +
      exr_attribute("displayWindow", "box2i", window) + exr_attribute("lineOrder", "lineOrder", {0}) +
      exr_attribute("pixelAspectRatio", "float", little_float(1)) +
      exr_attribute("screenWindowCenter", "v2f", little_float(0) + little_float(0)) +
      exr_attribute("screenWindowWidth", "float", little_float(1)) + further + FileBytes{0};
  const std::size_t row = channels.size() * static_cast<std::size_t>(width) * 4;
  const std::size_t first = out.size() + 8 * static_cast<std::size_t>(height);
  for (int y = 0; y < height; ++y)
    out = out + little_endian(static_cast<std::uint32_t>(first + static_cast<std::size_t>(y) * (row + 8))) +
          little_endian(0);
  for (int y = 0; y < height; ++y) {
    out = out + little_endian(static_cast<std::uint32_t>(y - 3)) +
          little_endian(static_cast<std::uint32_t>(row));
    for (const ExrChannel& c : channels) {
      for (int x = 0; x < width; ++x)
        out = out + little_float(c.values[static_cast<std::size_t>(y * width + x)]);
    }
  }
  return out;
}

// OpenCV (4.6) writes none unless the environment says so.
void let_opencv_write_exr() {
  setenv("OPENCV_IO_ENABLE_OPENEXR", "1", 0);
}

TEST(PictureOpenExr, WhatOpenCvWrites) {
  let_opencv_write_exr();
  for (const auto& [width, height] : {std::pair(1, 1), {7, 3}, {33, 37}}) {
    for (const int type : {CV_32FC1, CV_32FC3}) {
      const cv::Mat colours = noise(width, height, type, 1);
      for (const int stored : {cv::IMWRITE_EXR_TYPE_FLOAT, cv::IMWRITE_EXR_TYPE_HALF}) {
        const double tolerance = stored == cv::IMWRITE_EXR_TYPE_FLOAT ? 0 : 5e-4;
        const Picture picture = read_bytes(encoded(".exr", colours, {cv::IMWRITE_EXR_TYPE, stored}));
        ASSERT_EQ(picture.pixels.width(), width);
        ASSERT_EQ(picture.pixels.height(), height);
        for (int y = 0; y < height; ++y) {
          for (int x = 0; x < width; ++x) {
            const float* p = colours.ptr<float>(y) + x * colours.channels();
            const bool grey = colours.channels() == 1;
            expect_pixel(picture.pixels.at(x, y), {p[grey ? 0 : 2], p[grey ? 0 : 1], p[0]}, tolerance);
          }
        }
        EXPECT_EQ(picture.notes, std::vector<std::string>{linear_light});
      }
    }
  }
}

TEST(PictureOpenExr, NumbersThatAreNoLightAreRefused) {
  // The type of a channel's samples: 0 = unsigned numbers, 2 = 32-bit floats.
  FileBytes whole = exr(1, 1, {{"Y", {0.5f}}});
  const std::size_t type = place_of(whole, "chlist") + 7 + 4 + 2;
  ASSERT_EQ(whole[type], 2);
  whole[type] = 0;
  EXPECT_EQ(message_for(whole, "a"), given_up);
}

TEST(PictureOpenExr, AlphaIsDividedOut) {
  const Picture picture =
      read_bytes(exr(2, 1, {{"A", {0.5f, 0}}, {"B", {0.125f, 0}}, {"G", {0.25f, 0}}, {"R", {0.5f, 0}}}));
  expect_pixel(picture.pixels[0], {1, 0.5, 0.25}, 0);
  EXPECT_EQ(picture.pixels[0].alpha, 0.5f);
  EXPECT_EQ(picture.pixels[1].alpha, 0.0f);
  EXPECT_EQ(picture.notes, std::vector<std::string>{linear_light});
}

TEST(PictureOpenExr, GreyAndSingleColours) {
  expect_pixel(read_bytes(exr(1, 2, {{"Y", {0.25f, 0.75f}}})).pixels.at(0, 1), {0.75, 0.75, 0.75}, 0);
  expect_pixel(read_bytes(exr(1, 1, {{"R", {0.25f}}})).pixels[0], {0.25, 0, 0}, 0);
  // Depth and the like beside the colours do not matter.
  expect_pixel(read_bytes(exr(1, 1, {{"B", {0.1f}}, {"G", {0.2f}}, {"R", {0.25f}}, {"Z", {1e6f}}})).pixels[0],
               {0.25, 0.2f, 0.1f}, 0);
}

TEST(PictureOpenExr, BrighterThanWhiteIsCut) {
  const Picture picture = read_bytes(exr(3, 1, {{"Y", {0.5f, 3, 12.5f}}}));
  expect_pixel(picture.pixels[2], {1, 1, 1}, 0);
  EXPECT_EQ(picture.notes,
            (std::vector<std::string>{
                linear_light, "2 of 3 pixels are brighter than white (up to 12.5 times): cut to white"}));
}

TEST(PictureOpenExr, PrimariesOfTheFile) {
  FileBytes xy;
  for (const float value : {0.680f, 0.320f, 0.265f, 0.690f, 0.150f, 0.060f, 0.3127f, 0.3290f})
    xy = xy + little_float(value);
  const Picture picture =
      read_bytes(exr(1, 1, {{"R", {0.5f}}}, exr_attribute("chromaticities", "chromaticities", xy)));
  expect_pixel(picture.pixels[0], {0.61245, -0.0210, -0.0098}, 3e-4);
  EXPECT_TRUE(picture.notes.empty());
}

TEST(PictureOpenExr, BadOnes) {
  EXPECT_EQ(message_for(exr(1, 1, {{"diffuse.R", {1}}}), "a"),
            "a: is an OpenEXR picture without channels named R, G, B or Y" + unread);
  const std::string sampled = "a: is an OpenEXR picture with colours at less than its full size" + unread;
  EXPECT_EQ(message_for(exr(1, 1, {{"BY", {1}}, {"RY", {1}}, {"Y", {1}}}), "a"), sampled);
  EXPECT_EQ(message_for(exr(2, 2, {{"Y", {1, 1, 1, 1}, 2}}), "a"), sampled);
  EXPECT_EQ(message_for(exr(1, 1, {{"R", {1}}}, {}, 2 | 0x800), "a"),
            "a: is an OpenEXR picture with samples at many depths" + unread);
  const FileBytes whole = exr(2, 2, {{"R", {0, 0, 0, 0}}});
  EXPECT_EQ(message_for(exchanged(whole, "dataWindow", "date"), "a"),
            "a: is damaged (its width and height are missing)" + again);
  const std::size_t window = place_of(whole, "box2i") + 10;
  EXPECT_EQ(
      message_for(replaced(whole, window + 8, little_endian(5 + 64249) + little_endian(64249 - 3)), "a"),
      bomb);
  EXPECT_EQ(message_for(replaced(whole, window + 8, little_endian(4)), "a"),
            "a: has no pixels: it is 0 x 2" + again);
  EXPECT_EQ(message_for(replaced(whole, window,
                                 little_endian(0x80000000u) + little_endian(0x80000000u) +
                                     little_endian(0x7fffffff) + little_endian(0x7fffffff)),
                        "a")
                .substr(0, 35),
            "a: is 4294967296 x 4294967296 pixel");
  const std::size_t header = whole.size() - 2 * 8 - 2 * 16;
  for (std::size_t by = 1; by < whole.size() - 8; ++by)
    ASSERT_EQ(message_for(shortened(whole, by), "a"), whole.size() - by < header ? cut_short : given_up)
        << by;
  for (const float bad : {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()})
    EXPECT_EQ(message_for(exr(1, 1, {{"R", {bad}}}), "a"),
              "a: holds pixels that are not numbers (NaN or infinite); export it as 16-bit PNG or TIFF");
}

// ---- All three

TEST(PictureRareKinds, NothingIsPrinted) {
  const FileBytes stream(one_pixel_jp2.begin() + jp2_stream, one_pixel_jp2.end());
  const FileBytes hdr = encoded(".hdr", noise(40, 6, CV_32FC3, 1));
  ::testing::internal::CaptureStderr();
  ::testing::internal::CaptureStdout();
  EXPECT_EQ(message_for(shortened(stream, 12) + FileBytes{0xff, 0xd9}, "a"), given_up);
  EXPECT_EQ(message_for(shortened(hdr, 50), "a"), given_up);
  EXPECT_EQ(message_for(shortened(exr(2, 2, {{"R", {0, 0, 0, 0}}}), 10), "a"), given_up);
  EXPECT_EQ(message_for(stream, "a"), "");  // it names no colour space
  EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
  EXPECT_EQ(::testing::internal::GetCapturedStdout(), "");
}

TEST(PictureRareKinds, RandomDamageNeverGetsFurtherThanAMessage) {
  let_opencv_write_exr();
  cv::RNG random(19);
  for (const FileBytes& whole : {jp2(noise(40, 36, CV_8UC3, 256)), encoded(".hdr", noise(40, 6, CV_32FC3, 1)),
                                 encoded(".exr", noise(40, 6, CV_32FC3, 1))}) {
    for (int i = 0; i < 100; ++i) {
      FileBytes bytes = whole;
      for (int flips = 0; flips < 3; ++flips)
        bytes[static_cast<std::size_t>(random.uniform(12, static_cast<int>(bytes.size())))] ^=
            static_cast<std::uint8_t>(1 << random.uniform(0, 8));
      const std::string message = message_for(bytes, "a");
      EXPECT_TRUE(message.empty() || message.starts_with("a: ")) << message;
    }
  }
}

}  // namespace
}  // namespace powderplan::testing
