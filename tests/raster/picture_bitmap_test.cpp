// BMP and PNM written out by hand, byte by byte, from their definitions.
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

}  // namespace
}  // namespace powderplan::testing
