#include "raster/png.h"

#include <algorithm>
#include <cstring>
#include <stdexcept>

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

Image<std::uint16_t> layer(int width, int height) {
  Image<std::uint16_t> out(width, height);
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = static_cast<std::uint16_t>(i * 7919);
  return out;
}
Image<Rgb8> picture(int width, int height) {
  Image<Rgb8> out(width, height);
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = {static_cast<std::uint8_t>(i), static_cast<std::uint8_t>(i * 3),
              static_cast<std::uint8_t>(i * 11)};
  return out;
}

// The data of a chunk; empty when it is not there.
FileBytes chunk(const FileBytes& png, std::string_view type) {
  for (std::size_t at = 8; at + 12 <= png.size();) {
    const std::size_t size = std::size_t{png[at]} << 24 | std::size_t{png[at + 1]} << 16 |
                             std::size_t{png[at + 2]} << 8 | png[at + 3];
    if (std::memcmp(png.data() + at + 4, type.data(), 4) == 0)
      return {png.begin() + static_cast<std::ptrdiff_t>(at + 8),
              png.begin() + static_cast<std::ptrdiff_t>(at + 8 + size)};
    at += size + 12;
  }
  return {};
}

TEST(Png, LayersComeBackAsTheyWere) {
  for (const auto& [w, h] : {std::pair(1, 1), {1, 7}, {2, 7}, {7, 1}, {7, 2}, {64, 33}}) {
    for (const PngEffort effort : {PngEffort::fast, PngEffort::small}) {
      const Image<std::uint16_t> before = layer(w, h);
      const Image<std::uint16_t> after =
          decode_layer_png(encode_png(before, Millimetres(0.25), effort), "x.png");
      ASSERT_EQ(after.width(), w);
      ASSERT_EQ(after.height(), h);
      for (std::size_t i = 0; i < before.size(); ++i)
        ASSERT_EQ(after[i], before[i]);
    }
  }
}

TEST(Png, PicturesComeBackAsTheyWere) {
  for (const PngEffort effort : {PngEffort::fast, PngEffort::small}) {
    const Image<Rgb8> before = picture(37, 21);
    const Picture after = read_bytes(encode_png(before, Millimetres(1), effort));
    EXPECT_TRUE(after.notes.empty());
    for (std::size_t i = 0; i < before.size(); ++i)
      expect_pixel(after.pixels[i], to_linear_rgb(before[i]), 1e-6);
  }
}

// PNG third edition, 11.3.4.3: points per unit, and 1 for the metre.
TEST(Png, ThePitchIsTheTrueSize) {
  const FileBytes quarter = chunk(encode_png(layer(3, 3), Millimetres(0.25)), "pHYs");
  EXPECT_EQ(quarter, big_endian(4000) + big_endian(4000) + FileBytes{1});
  // 300 dpi is 11811 points a metre.
  const FileBytes dpi = chunk(encode_png(picture(3, 3), Millimetres(25.4 / 300)), "pHYs");
  EXPECT_EQ(dpi, big_endian(11811) + big_endian(11811) + FileBytes{1});
}

// PNG third edition, 11.3.2: the companions of sRGB for readers that do not know it.
TEST(Png, ColourSpaceIsStated) {
  const FileBytes colour = encode_png(picture(3, 3), Millimetres(1));
  EXPECT_EQ(chunk(colour, "sRGB").size(), 1u);
  EXPECT_EQ(chunk(colour, "gAMA"), big_endian(45455));
  FileBytes chromaticities;
  for (const std::uint32_t v : {31270u, 32900u, 64000u, 33000u, 30000u, 60000u, 15000u, 6000u})
    chromaticities = chromaticities + big_endian(v);
  EXPECT_EQ(chunk(colour, "cHRM"), chromaticities);
  const FileBytes amounts = encode_png(layer(3, 3), Millimetres(1));
  EXPECT_EQ(chunk(amounts, "gAMA"), big_endian(100000));
  EXPECT_TRUE(chunk(amounts, "sRGB").empty());
}

TEST(Png, TheSamePictureGivesTheSameBytes) {
  const FileBytes once = encode_png(picture(50, 50), Millimetres(1));
  EXPECT_EQ(once, encode_png(picture(50, 50), Millimetres(1)));
  EXPECT_TRUE(chunk(once, "tIME").empty());
}

TEST(Png, RowsThatAreMadeOneByOneGiveTheSameBytes) {
  const Image<Rgb8> colours = picture(37, 50);
  const Image<std::uint16_t> amounts = layer(37, 50);
  std::vector<int> asked;
  EXPECT_EQ(encode_png(PictureRows<Rgb8>{37, 50,
                                         [&](int y, Rgb8* row) {
                                           asked.push_back(y);
                                           std::copy_n(colours.row(y), 37, row);
                                         }},
                       Millimetres(1)),
            encode_png(colours, Millimetres(1)));
  ASSERT_EQ(asked.size(), 50u);
  EXPECT_TRUE(std::is_sorted(asked.begin(), asked.end()));
  EXPECT_EQ(encode_png(
                PictureRows<std::uint16_t>{
                    37, 50, [&](int y, std::uint16_t* row) { std::copy_n(amounts.row(y), 37, row); }},
                Millimetres(1)),
            encode_png(amounts, Millimetres(1)));
}

TEST(Png, WhatARowThrowsComesOut) {
  const PictureRows<Rgb8> rows{4, 9, [](int y, Rgb8*) {
                                 if (y == 5)
                                   throw std::runtime_error("no more rows");
                               }};
  EXPECT_THROW(encode_png(rows, Millimetres(1)), std::runtime_error);
}

TEST(Png, WhatIsNoLayerIsRefused) {
  const auto message = [](const FileBytes& bytes) {
    return message_of([&] { decode_layer_png(bytes, "01-red.png"); });
  };
  EXPECT_EQ(message(encode_png(picture(3, 3), Millimetres(1))),
            "01-red.png: is not a layer, which is 16-bit grey; make the plan again");
  EXPECT_EQ(message({1, 2, 3}), "01-red.png: is not a PNG picture; make the plan again");
  EXPECT_EQ(message(shortened(encode_png(layer(9, 9), Millimetres(1)), 20)),
            "01-red.png: is cut short: part of the picture is missing; make the plan again");
}

TEST(Png, WhatCannotBeEncoded) {
  EXPECT_EQ(message_of([] { encode_png(Image<Rgb8>(), Millimetres(1)); }),
            "PNG: a picture without pixels cannot be written; report this as a fault");
  EXPECT_EQ(message_of([] { encode_png(layer(1, 1), Millimetres(0)); }),
            "PNG: a pitch of 0 mm cannot be written; report this as a fault");
}

}  // namespace
}  // namespace powderplan::testing
