#include "raster/webp.h"

#include <gtest/gtest.h>
#include <webp/decode.h>

#include <algorithm>
#include <cmath>

#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

Image<Rgb8> decoded(const std::vector<std::uint8_t>& bytes) {
  int width = 0, height = 0;
  if (WebPGetInfo(bytes.data(), bytes.size(), &width, &height) == 0)
    return {};
  Image<Rgb8> picture(width, height);
  if (WebPDecodeRGBInto(bytes.data(), bytes.size(), reinterpret_cast<std::uint8_t*>(picture.data()),
                        picture.size() * sizeof(Rgb8), width * 3) == nullptr)
    return {};
  return picture;
}

bool same(const Image<Rgb8>& a, const Image<Rgb8>& b) {
  return a.width() == b.width() && a.height() == b.height() &&
         std::equal(a.data(), a.data() + a.size(), b.data());
}

// A blob on a slope of colour, with a crisp edge.
Image<Rgb8> drawing(int width, int height) {
  Image<Rgb8> picture(width, height);
  const int middle_x = width / 2, middle_y = height / 2, reach = width / 4;
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      picture.at(x, y) = std::hypot(x - middle_x, y - middle_y) < reach
                             ? Rgb8{240, 108, 24}
                             : Rgb8{static_cast<std::uint8_t>(x), static_cast<std::uint8_t>(y), 90};
  return picture;
}

TEST(Webp, ExactOnesComeBackAsTheyWere) {
  holds_always(
      [] {
        const int width = any_whole(1, 40), height = any_whole(1, 40);
        Image<Rgb8> picture(width, height);
        Image<std::uint8_t> grey(width, height);
        for (std::size_t i = 0; i < picture.size(); ++i) {
          picture[i] = any_rgb8();
          grey[i] = picture[i].g;
        }
        RC_ASSERT(same(decoded(encode_webp(picture)), picture));
        const Image<Rgb8> back = decoded(encode_webp(grey));
        for (std::size_t i = 0; i < grey.size(); ++i)
          RC_ASSERT(back[i] == (Rgb8{grey[i], grey[i], grey[i]}));
      },
      30);
}

TEST(Webp, ShownOnesAreSmallerAndNear) {
  Image<Rgb8> picture = drawing(200, 150);
  for (std::size_t i = 0; i < picture.size(); ++i)  // grainy, as a photo is
    picture[i].b = static_cast<std::uint8_t>(picture[i].b + i * i * 7 % 23);
  const std::vector<std::uint8_t> shown = encode_webp_for_show(picture, 80), exact = encode_webp(picture);
  EXPECT_LT(shown.size(), exact.size());
  const Image<Rgb8> back = decoded(shown);
  double off = 0;
  for (std::size_t i = 0; i < picture.size(); ++i)
    off += std::abs(back[i].g - picture[i].g);
  EXPECT_LT(off / static_cast<double>(picture.size()), 4);
}

TEST(Webp, MarksKeepTheirEdges) {
  const Image<Rgb8> picture = drawing(200, 150), back = decoded(encode_webp_with_marks(picture));
  ASSERT_EQ(back.width(), 200);
  for (std::size_t i = 0; i < picture.size(); ++i) {
    EXPECT_NEAR(back[i].r, picture[i].r, 16);
    EXPECT_NEAR(back[i].g, picture[i].g, 16);
  }
}

TEST(Webp, WhatTheFormatCannotHoldIsRefused) {
  EXPECT_THROW(encode_webp(Image<Rgb8>()), Problem);
  EXPECT_THROW(encode_webp(Image<Rgb8>(most_webp_side + 1, 1)), Problem);
  EXPECT_NO_THROW(encode_webp(Image<Rgb8>(most_webp_side, 1)));
}

}  // namespace
}  // namespace powderplan
