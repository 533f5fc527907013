// BMP, PNM, PAM, PFM and Sun raster written out by hand, byte by byte, from their definitions.
#include <cstring>
#include <limits>

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

std::string codes_of(const Picture& picture) {
  std::string out;
  for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
    const LinearPixel& p = picture.pixels[i];
    const Rgb8 c =
        to_rgb8(LinearRgb{static_cast<double>(p.r), static_cast<double>(p.g), static_cast<double>(p.b)});
    if (i > 0)
      out += ' ';
    out += to_hex(c);
  }
  return out;
}

FileBytes two(std::uint32_t value) {
  return shortened(little_endian(value), 2);
}

// BITMAPFILEHEADER and BITMAPINFOHEADER; `between` lies between them and the pixels.
FileBytes bmp(int width, int height, std::uint32_t bits, std::uint32_t compression, std::uint32_t colours,
              const FileBytes& between, const FileBytes& pixels, std::uint32_t header = 40) {
  const std::uint32_t at = 54 + static_cast<std::uint32_t>(between.size());
  return bytes_of("BM") + little_endian(at + static_cast<std::uint32_t>(pixels.size())) + little_endian(0) +
         little_endian(at) + little_endian(header) + little_endian(static_cast<std::uint32_t>(width)) +
         little_endian(static_cast<std::uint32_t>(height)) + two(1) + two(bits) + little_endian(compression) +
         little_endian(0) + little_endian(2835) + little_endian(2835) + little_endian(colours) +
         little_endian(0) + between + pixels;
}

TEST(PictureBmp, PaletteBits) {
  const FileBytes palette{0, 0, 255, 0, 0, 255, 0, 0};  // red, green as blue-green-red-unused
  EXPECT_EQ(codes_of(read_bytes(bmp(3, 1, 1, 0, 2, palette, {0b01000000, 0, 0, 0}))),
            "#ff0000 #00ff00 #ff0000");
  EXPECT_EQ(codes_of(read_bytes(bmp(3, 1, 4, 0, 2, palette, {0x10, 0x10, 0, 0}))), "#00ff00 #ff0000 #00ff00");
  EXPECT_EQ(codes_of(read_bytes(bmp(2, 1, 8, 0, 2, palette, {1, 0, 0, 0}))), "#00ff00 #ff0000");
  EXPECT_EQ(message_for(bmp(1, 1, 8, 0, 2, palette, {2, 0, 0, 0}), "a"),
            "a: is damaged (a colour is missing in its palette); copy or export the picture again");
}

TEST(PictureBmp, RowsFromBelowOrFromAbove) {
  const FileBytes rows{0, 0, 255, 0, 255, 0, 0, 0};  // red, then blue
  EXPECT_EQ(codes_of(read_bytes(bmp(1, 2, 24, 0, 0, {}, rows))), "#0000ff #ff0000");
  EXPECT_EQ(codes_of(read_bytes(bmp(1, -2, 24, 0, 0, {}, rows))), "#ff0000 #0000ff");
}

TEST(PictureBmp, SixteenBits) {
  EXPECT_EQ(codes_of(read_bytes(bmp(2, 1, 16, 0, 0, {}, {0x00, 0x7c, 0xe0, 0x03}))), "#ff0000 #00ff00");
  const FileBytes masks = little_endian(0xf800) + little_endian(0x07e0) + little_endian(0x001f);
  EXPECT_EQ(codes_of(read_bytes(bmp(2, 1, 16, 3, 0, masks, {0x00, 0xf8, 0xe0, 0x07}))), "#ff0000 #00ff00");
}

TEST(PictureBmp, AlphaOnlyWhereTheHeaderSaysSo) {
  EXPECT_EQ(read_bytes(bmp(1, 1, 32, 0, 0, {}, {10, 20, 30, 40})).pixels[0].alpha, 1.0f);
  const FileBytes masks =
      little_endian(0xff0000) + little_endian(0xff00) + little_endian(0xff) + little_endian(0xff000000);
  const Picture clear = read_bytes(bmp(1, 1, 32, 3, 0, masks, {10, 20, 30, 51}, 56));
  EXPECT_EQ(codes_of(clear), "#1e140a");
  EXPECT_FLOAT_EQ(clear.pixels[0].alpha, 0.2f);
  // All 0 is a writer that did not care.
  EXPECT_EQ(read_bytes(bmp(1, 1, 32, 3, 0, masks, {10, 20, 30, 0}, 56)).pixels[0].alpha, 1.0f);
}

TEST(PictureBmp, OldestHeader) {
  const FileBytes core = bytes_of("BM") + little_endian(30) + little_endian(0) + little_endian(26) +
                         little_endian(12) + two(1) + two(1) + two(1) + two(24) + FileBytes{255, 0, 0, 0};
  EXPECT_EQ(codes_of(read_bytes(core)), "#0000ff");
}

TEST(PictureBmp, ProfileOfAVersion5Header) {
  const FileBytes profile = p3_profile();
  FileBytes rest(124 - 40, 0);
  const FileBytes embedded = little_endian(0x4d424544), at = little_endian(124 + 4),
                  size = little_endian(static_cast<std::uint32_t>(profile.size()));
  std::copy(embedded.begin(), embedded.end(), rest.begin() + 16);
  std::copy(at.begin(), at.end(), rest.begin() + 72);
  std::copy(size.begin(), size.end(), rest.begin() + 76);
  const Picture picture = read_bytes(bmp(1, 1, 24, 0, 0, rest, FileBytes{0, 0, 255, 0} + profile, 124));
  // See picture_colour_test.cpp for these numbers.
  expect_pixel(picture.pixels[0], {1.2249, -0.0420, -0.0196}, 5e-4);
  EXPECT_TRUE(picture.notes.empty());
}

TEST(PictureBmp, OtherLengthsOfTheHeader) {
  EXPECT_EQ(codes_of(read_bytes(bmp(1, 1, 24, 0, 0, FileBytes(24, 0), {1, 2, 3, 0}, 64))), "#030201");
  EXPECT_EQ(codes_of(read_bytes(bmp(1, 1, 24, 0, 0, FileBytes(2, 0), {1, 2, 3, 0}, 42))), "#030201");
}

const FileBytes red_green_blue{0, 0, 255, 0, 0, 255, 0, 0, 255, 0, 0, 0};

FileBytes rle8(int width, int height, const FileBytes& runs) {
  return bmp(width, height, 8, 1, 3, red_green_blue, runs);
}
FileBytes rle4(int width, int height, const FileBytes& runs) {
  return bmp(width, height, 4, 2, 3, red_green_blue, runs);
}

TEST(PictureBmp, RunLengthsOfBytes) {
  EXPECT_EQ(codes_of(read_bytes(rle8(1, 1, {1, 2, 0, 1}))), "#0000ff");
  // Three literals with a byte of padding, the end of the row, a run.
  EXPECT_EQ(codes_of(read_bytes(rle8(3, 2, {0, 3, 0, 1, 2, 0, 0, 0, 3, 1, 0, 1}))),
            "#00ff00 #00ff00 #00ff00 #ff0000 #00ff00 #0000ff");
  // What a skip and an early end leave out has the first colour.
  EXPECT_EQ(codes_of(read_bytes(rle8(3, 2, {1, 1, 0, 2, 1, 1, 1, 2, 0, 1}))),
            "#ff0000 #ff0000 #0000ff #00ff00 #ff0000 #ff0000");
  EXPECT_EQ(codes_of(read_bytes(rle8(2, 2, {0, 1}))), "#ff0000 #ff0000 #ff0000 #ff0000");
  // The mark of the end may be missing when nothing else is.
  EXPECT_EQ(codes_of(read_bytes(rle8(2, 1, {2, 1}))), "#00ff00 #00ff00");
}

TEST(PictureBmp, RunLengthsOfHalfBytes) {
  EXPECT_EQ(codes_of(read_bytes(rle4(1, 1, {1, 0x20, 0, 1}))), "#0000ff");
  EXPECT_EQ(codes_of(read_bytes(rle4(5, 1, {5, 0x12, 0, 1}))), "#00ff00 #0000ff #00ff00 #0000ff #00ff00");
  // Five literals take three bytes, padded to four.
  EXPECT_EQ(codes_of(read_bytes(rle4(5, 1, {0, 5, 0x01, 0x20, 0x10, 0, 0, 1}))),
            "#ff0000 #00ff00 #0000ff #ff0000 #00ff00");
  EXPECT_EQ(codes_of(read_bytes(rle4(2, 3, {0, 2, 1, 2, 1, 0x20, 0, 1}))),
            "#ff0000 #0000ff #ff0000 #ff0000 #ff0000 #ff0000");
}

TEST(PictureBmp, BadRunLengths) {
  const std::string cut = "a: is cut short: part of the picture is missing; copy or export the picture again";
  const std::string damaged =
      "a: is damaged (a run of pixels leaves the picture); copy or export the picture again";
  const FileBytes whole = rle8(3, 2, {0, 3, 0, 1, 2, 0, 0, 0, 3, 1, 0, 1});
  for (std::size_t by = 3; by <= 12; ++by)
    EXPECT_EQ(message_for(shortened(whole, by), "a"), cut) << by;
  EXPECT_EQ(message_for(shortened(whole, 13), "a"), cut);
  EXPECT_EQ(message_for(rle8(3, 2, {4, 0, 0, 1}), "a"), damaged);
  EXPECT_EQ(message_for(rle8(3, 2, {0, 2, 0, 2, 1, 0, 0, 1}), "a"), "");
  EXPECT_EQ(message_for(rle8(3, 2, {0, 2, 200, 1, 1, 0, 0, 1}), "a"), damaged);
  EXPECT_EQ(message_for(rle4(3, 1, {0, 4, 0, 0, 0, 1}), "a"), damaged);
  EXPECT_EQ(message_for(rle8(1, 1, {1, 3, 0, 1}), "a"),
            "a: is damaged (a colour is missing in its palette); copy or export the picture again");
  EXPECT_EQ(message_for(rle8(20, 10, {0, 1}), "a", {199}),
            "a: is 20 x 10 pixels, 0.0 megapixels; the cap is 0.0; scale the picture down, or raise the cap "
            "with --max-megapixels");
}

TEST(PicturePnm, AllSixKinds) {
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P1 # a comment\n3 1\n1 01"))), "#000000 #ffffff #000000");
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P2\n2 1\n# another\n100\n0 100"))), "#000000 #ffffff");
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P3 2 1 255 255 0 0 0 128 255"))), "#ff0000 #0080ff");
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P4 9 1\n") + FileBytes{0b10101010, 0b10000000})),
            "#000000 #ffffff #000000 #ffffff #000000 #ffffff #000000 #ffffff #000000");
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P5 2 1 255\n") + FileBytes{10, 200})), "#0a0a0a #c8c8c8");
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P6 1 1 255\n") + FileBytes{1, 2, 3})), "#010203");
}

TEST(PicturePnm, AnyLargestValueIsWhite) {
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P5 2 1 4095\n") + FileBytes{0x0f, 0xff, 0, 0})), "#ffffff #000000");
  EXPECT_EQ(codes_of(read_bytes(bytes_of("P5 1 1 1\n") + FileBytes{1})), "#ffffff");
}

TEST(PicturePnm, BadOnes) {
  EXPECT_EQ(message_for(bytes_of("P5 2"), "a"),
            "a: is cut short: part of the picture is missing; copy or export the picture again");
  EXPECT_EQ(message_for(bytes_of("P2 2 1 255 7"), "a"),
            "a: is cut short: part of the picture is missing; copy or export the picture again");
  EXPECT_EQ(message_for(bytes_of("P5 two 1 255 "), "a"),
            "a: is damaged (a number is missing); copy or export the picture again");
  EXPECT_EQ(message_for(bytes_of("P5 1 1 0 ......"), "a"),
            "a: is damaged (its largest value is not between 1 and 65535); copy or export the picture again");
}

FileBytes pam(const std::string& size, int depth, int most, const std::string& type,
              const FileBytes& pixels) {
  return bytes_of("P7\n# made by hand\n" + size + "\nDEPTH " + std::to_string(depth) + "\nMAXVAL " +
                  std::to_string(most) + "\n" + (type.empty() ? "" : "TUPLTYPE " + type + "\n") +
                  "ENDHDR\n") +
         pixels;
}
const std::string one_pixel = "WIDTH 1\nHEIGHT 1", three_by_one = "HEIGHT 1\nWIDTH 3";

TEST(PicturePam, EveryTypeOfTuples) {
  // One is white here, unlike in PBM.
  EXPECT_EQ(codes_of(read_bytes(pam(three_by_one, 1, 1, "BLACKANDWHITE", {0, 1, 0}))),
            "#000000 #ffffff #000000");
  EXPECT_EQ(codes_of(read_bytes(pam(three_by_one, 1, 255, "GRAYSCALE", {7, 8, 9}))),
            "#070707 #080808 #090909");
  EXPECT_EQ(codes_of(read_bytes(pam(one_pixel, 3, 255, "RGB", {1, 2, 3}))), "#010203");
  const Picture grey = read_bytes(pam(one_pixel, 2, 255, "GRAYSCALE_ALPHA", {9, 51}));
  EXPECT_EQ(codes_of(grey), "#090909");
  EXPECT_FLOAT_EQ(grey.pixels[0].alpha, 0.2f);
  const Picture rgb = read_bytes(pam(one_pixel, 4, 255, "RGB_ALPHA", {1, 2, 3, 51}));
  EXPECT_EQ(codes_of(rgb), "#010203");
  EXPECT_FLOAT_EQ(rgb.pixels[0].alpha, 0.2f);
  EXPECT_EQ(read_bytes(pam(one_pixel, 2, 1, "BLACKANDWHITE_ALPHA", {1, 0})).pixels[0].alpha, 0.0f);
  EXPECT_EQ(rgb.notes, std::vector<std::string>{"no colour profile: taken as sRGB"});
}

TEST(PicturePam, WithoutATypeTheDepthDecides) {
  EXPECT_EQ(codes_of(read_bytes(pam(one_pixel, 1, 255, "", {5}))), "#050505");
  EXPECT_FLOAT_EQ(read_bytes(pam(one_pixel, 2, 255, "", {5, 102})).pixels[0].alpha, 0.4f);
  EXPECT_EQ(codes_of(read_bytes(pam(one_pixel, 3, 255, "", {1, 2, 3}))), "#010203");
  EXPECT_FLOAT_EQ(read_bytes(pam(one_pixel, 4, 255, "", {5, 5, 5, 102})).pixels[0].alpha, 0.4f);
}

TEST(PicturePam, AnyLargestValueIsWhite) {
  EXPECT_EQ(codes_of(read_bytes(pam(three_by_one, 1, 100, "GRAYSCALE", {0, 100, 50}))),
            "#000000 #ffffff #808080");
  EXPECT_EQ(codes_of(read_bytes(pam(one_pixel, 3, 4095, "RGB", {0x0f, 0xff, 0, 0, 0x08, 0x08}))), "#ff0080");
}

TEST(PicturePam, WhatOpenCvWrites) {
  // Grey, as its writer (4.6) puts blue first in the others, against the definition.
  cv::Mat greys(37, 13, CV_8UC1);
  cv::randu(greys, 0, 256);
  EXPECT_EQ(codes_of(read_bytes(encoded(".pam", greys))), codes_of(read_bytes(encoded(".png", greys))));
}

TEST(PicturePam, BadOnes) {
  const std::string again = "; copy or export the picture again";
  const std::string cut = "a: is cut short: part of the picture is missing" + again;
  const FileBytes whole = pam(one_pixel, 3, 255, "RGB", {1, 2, 3});
  for (std::size_t by = 1; by < whole.size() - 3; ++by)
    EXPECT_NE(message_for(shortened(whole, by), "a"), "") << by;
  EXPECT_EQ(message_for(shortened(whole, 1), "a"), cut);
  EXPECT_EQ(message_for(bytes_of("P7\nWIDTH 3\nHEIGHT 2\n"), "a"), cut);
  EXPECT_EQ(message_for(bytes_of("P7\nWIDTH"), "a"), cut);
  EXPECT_EQ(message_for(bytes_of("P7\nWIDTH x\n"), "a"), "a: is damaged (a number is missing)" + again);
  EXPECT_EQ(message_for(bytes_of("P7\nBREADTH 3\n"), "a"),
            "a: is damaged (an unknown word stands in its header)" + again);
  EXPECT_EQ(message_for(bytes_of("P7\nWIDTH 3\nHEIGHT 2\nDEPTH 1\nENDHDR\n"), "a"),
            "a: is damaged (its width, height, depth or largest value is missing)" + again);
  EXPECT_EQ(message_for(pam(one_pixel, 1, 0, "GRAYSCALE", {1}), "a"),
            "a: is damaged (its largest value is not between 1 and 65535)" + again);
  EXPECT_EQ(message_for(pam(one_pixel, 3, 255, "RGB_ALPHA", {1, 2, 3}), "a"),
            "a: is damaged (its depth is less than its type of tuples needs)" + again);
  const std::string unread = ", a kind that cannot be read; save it as PNG, TIFF or JPEG";
  EXPECT_EQ(message_for(pam(one_pixel, 4, 255, "CMYK", {1, 2, 3, 4}), "a"),
            "a: is a PAM picture with tuples of its own type (CMYK)" + unread);
  EXPECT_EQ(message_for(pam(one_pixel, 5, 255, "", {1, 2, 3, 4, 5}), "a"),
            "a: is a PAM picture of 5 channels" + unread);
  EXPECT_EQ(message_for(pam(one_pixel, 5, 255, "RGB", {1, 2, 3, 4, 5}), "a"),
            "a: is a PAM picture of 5 channels" + unread);
  EXPECT_EQ(message_for(pam("WIDTH 64250\nHEIGHT 64250", 3, 255, "RGB", {}), "a"),
            "a: is 64250 x 64250 pixels, 4128.1 megapixels; the cap is 200.0; scale the picture down");
}

FileBytes float_bytes(const std::vector<float>& values, bool little) {
  FileBytes out;
  for (const float value : values) {
    std::uint32_t bits = 0;
    std::memcpy(&bits, &value, sizeof bits);
    out = out + (little ? little_endian(bits) : big_endian(bits));
  }
  return out;
}
const std::string linear_light =
    "float samples without a colour profile: taken as linear light with sRGB primaries";

TEST(PicturePfm, BothOrdersOfBytesAndRowsFromBelow) {
  for (const bool little : {false, true}) {
    const std::string scale = little ? "-1.0" : "1.0";
    const Picture grey =
        read_bytes(bytes_of("Pf\n1 3\n" + scale + "\n") + float_bytes({0.25f, 0.5f, 1}, little));
    expect_pixel(grey.pixels.at(0, 0), {1, 1, 1}, 0);
    expect_pixel(grey.pixels.at(0, 2), {0.25, 0.25, 0.25}, 0);
    const Picture rgb =
        read_bytes(bytes_of("PF\n1 1\n" + scale + "\n") + float_bytes({0.25f, 0.5f, -0.5f}, little));
    expect_pixel(rgb.pixels[0], {0.25, 0.5, -0.5}, 0);
    EXPECT_EQ(rgb.notes, std::vector<std::string>{linear_light});
  }
}

TEST(PicturePfm, TheScaleAndTheCutAtWhite) {
  const Picture halved = read_bytes(bytes_of("Pf\n1 1\n-2\n") + float_bytes({1}, true));
  expect_pixel(halved.pixels[0], {0.5, 0.5, 0.5}, 0);
  const Picture bright =
      read_bytes(bytes_of("PF\n2 1 -1\n") + float_bytes({0.5f, 0, 12.5f, 1, 1, 1}, true), {}, "a");
  expect_pixel(bright.pixels[0], {0.5, 0, 1}, 0);
  EXPECT_EQ(bright.notes,
            (std::vector<std::string>{
                linear_light, "1 of 2 pixels are brighter than white (up to 12.5 times): cut to white"}));
}

TEST(PicturePfm, WhatOpenCvWrites) {
  cv::Mat colours(7, 5, CV_32FC3);
  cv::randu(colours, 0, 1);
  const Picture picture = read_bytes(encoded(".pfm", colours));
  for (int y = 0; y < 7; ++y) {
    for (int x = 0; x < 5; ++x) {
      const cv::Vec3f bgr = colours.at<cv::Vec3f>(y, x);
      EXPECT_EQ(picture.pixels.at(x, y).r, bgr[2]);
      EXPECT_EQ(picture.pixels.at(x, y).g, bgr[1]);
      EXPECT_EQ(picture.pixels.at(x, y).b, bgr[0]);
    }
  }
}

TEST(PicturePfm, BadOnes) {
  const std::string again = "; copy or export the picture again";
  const std::string cut = "a: is cut short: part of the picture is missing" + again;
  const FileBytes whole = bytes_of("Pf\n2 1\n-1\n") + float_bytes({0, 1}, true);
  for (std::size_t by = 1; by + 3 < whole.size(); ++by)
    EXPECT_EQ(message_for(shortened(whole, by), "a"), cut) << by;
  const std::string scale = "a: is damaged (its scale is not a number above or below 0)" + again;
  for (const char* bad : {"0", "x", "1.0x", "nan", "inf", "1e999"})
    EXPECT_EQ(message_for(bytes_of("Pf\n1 1\n" + std::string(bad) + "\n0000"), "a"), scale) << bad;
  EXPECT_EQ(message_for(bytes_of("Pf\n1 1\n+1\n") + FileBytes{0, 0, 0, 0}, "a"), "");
  EXPECT_EQ(message_for(bytes_of("Pf\na 1\n-1\n0000"), "a"), "a: is damaged (a number is missing)" + again);
  EXPECT_EQ(message_for(bytes_of("PF\n64250 64250\n-1\n"), "a"),
            "a: is 64250 x 64250 pixels, 4128.1 megapixels; the cap is 200.0; scale the picture down");
  for (const float bad : {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()})
    EXPECT_EQ(message_for(bytes_of("Pf\n1 1\n-1\n") + float_bytes({bad}, true), "a"),
              "a: holds pixels that are not numbers (NaN or infinite); export it as 16-bit PNG or TIFF");
}

FileBytes sun(std::uint32_t width, std::uint32_t height, std::uint32_t depth, std::uint32_t type,
              const FileBytes& map, const FileBytes& pixels) {
  return big_endian(0x59a66a95) + big_endian(width) + big_endian(height) + big_endian(depth) +
         big_endian(static_cast<std::uint32_t>(pixels.size())) + big_endian(type) +
         big_endian(map.empty() ? 0 : 1) + big_endian(static_cast<std::uint32_t>(map.size())) + map + pixels;
}

TEST(PictureSunRaster, EveryDepth) {
  EXPECT_EQ(codes_of(read_bytes(sun(3, 2, 1, 1, {}, {0b01000000, 0, 0b10100000, 0}))),
            "#ffffff #000000 #ffffff #000000 #ffffff #000000");
  EXPECT_EQ(codes_of(read_bytes(sun(2, 1, 1, 1, {255, 0, 0, 255, 0, 0}, {0b01000000, 0}))),
            "#ff0000 #00ff00");
  EXPECT_EQ(codes_of(read_bytes(sun(1, 2, 8, 0, {}, {7, 0, 9, 0}))), "#070707 #090909");
  EXPECT_EQ(codes_of(read_bytes(sun(2, 1, 8, 1, {1, 2, 3, 4, 5, 6}, {1, 0}))), "#020406 #010305");
  EXPECT_EQ(codes_of(read_bytes(sun(1, 2, 24, 1, {}, {3, 2, 1, 0, 6, 5, 4, 0}))), "#010203 #040506");
  EXPECT_EQ(codes_of(read_bytes(sun(1, 1, 24, 3, {}, {1, 2, 3, 0}))), "#010203");
  EXPECT_EQ(codes_of(read_bytes(sun(1, 1, 32, 1, {}, {9, 3, 2, 1}))), "#010203");
  EXPECT_EQ(codes_of(read_bytes(sun(1, 1, 32, 3, {}, {9, 1, 2, 3}))), "#010203");
}

TEST(PictureSunRaster, ByteEncoded) {
  // 0x80 0 is one 0x80; 0x80 2 v is three times v; runs go on over the ends of rows and their padding.
  EXPECT_EQ(codes_of(read_bytes(sun(3, 1, 8, 2, {}, {0x80, 0, 5, 6, 0}))), "#808080 #050505 #060606");
  EXPECT_EQ(codes_of(read_bytes(sun(1, 2, 8, 2, {}, {0x80, 3, 9}))), "#090909 #090909");
  EXPECT_EQ(codes_of(read_bytes(sun(1, 2, 8, 2, {}, {0x80, 255, 9}))), "#090909 #090909");
}

TEST(PictureSunRaster, WhatOpenCvWrites) {
  for (const int type : {CV_8UC1, CV_8UC3}) {
    cv::Mat colours(11, 8, type);
    cv::randu(colours, 0, 256);
    EXPECT_EQ(codes_of(read_bytes(encoded(".ras", colours))), codes_of(read_bytes(encoded(".png", colours))));
  }
}

TEST(PictureSunRaster, BadOnes) {
  const std::string again = "; copy or export the picture again";
  const std::string cut = "a: is cut short: part of the picture is missing" + again;
  for (const FileBytes& whole :
       {sun(2, 1, 8, 1, {1, 2, 3, 4, 5, 6}, {1, 0}), sun(3, 1, 8, 2, {}, {5, 0x80, 2, 9})}) {
    EXPECT_EQ(message_for(whole, "a"), "");
    for (std::size_t by = 1; by + 4 < whole.size(); ++by)
      EXPECT_EQ(message_for(shortened(whole, by), "a"), cut) << by;
  }
  EXPECT_EQ(message_for(sun(1, 1, 8, 1, {1, 2, 3}, {1, 0}), "a"),
            "a: is damaged (a colour is missing in its map)" + again);
  EXPECT_EQ(message_for(sun(1, 1, 8, 1, {1, 2, 3, 4}, {1, 0}), "a"),
            "a: is damaged (its colour map is not of whole colours)" + again);
  const std::string unusual =
      "a: is an unusual Sun raster picture, a kind that cannot be read; save it as PNG, TIFF or JPEG";
  EXPECT_EQ(message_for(sun(1, 1, 16, 1, {}, {1, 0}), "a"), unusual);
  EXPECT_EQ(message_for(sun(1, 1, 8, 4, {}, {1, 0}), "a"), unusual);
  EXPECT_EQ(message_for(sun(64250, 64250, 8, 2, {}, {}), "a"),
            "a: is 64250 x 64250 pixels, 4128.1 megapixels; the cap is 200.0; scale the picture down");
}

}  // namespace
}  // namespace powderplan::testing
