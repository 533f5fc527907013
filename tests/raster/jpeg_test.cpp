#include "raster/jpeg.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <random>

#include "problem.h"

namespace powderplan {
namespace {

// By OpenCV.
Image<Rgb8> decoded(const std::vector<std::uint8_t>& jpeg) {
  const cv::Mat bgr = cv::imdecode(jpeg, cv::IMREAD_COLOR);
  Image<Rgb8> picture(bgr.cols, bgr.rows);
  for (int y = 0; y < bgr.rows; ++y)
    for (int x = 0; x < bgr.cols; ++x) {
      const auto& p = bgr.at<cv::Vec3b>(y, x);
      picture.at(x, y) = {p[2], p[1], p[0]};
    }
  return picture;
}

int farthest(const Image<Rgb8>& a, const Image<Rgb8>& b) {
  int most = 0;
  for (std::size_t i = 0; i < a.size(); ++i)
    most = std::max({most, std::abs(a[i].r - b[i].r), std::abs(a[i].g - b[i].g), std::abs(a[i].b - b[i].b)});
  return most;
}

Image<Rgb8> ramps(int width, int height) {
  Image<Rgb8> picture(width, height);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      picture.at(x, y) = {static_cast<std::uint8_t>(255 * x / width),
                          static_cast<std::uint8_t>(255 * y / height),
                          static_cast<std::uint8_t>(128 + 60 * std::sin(0.05 * (x + y)))};
  return picture;
}

TEST(Jpeg, IsReadBackNearlyAsItWas) {
  for (const auto& [width, height] : {std::pair{1, 1}, {1, 17}, {33, 2}, {200, 131}}) {
    const Image<Rgb8> picture = ramps(width, height);
    const Image<Rgb8> back = decoded(encode_jpeg(picture, 90));
    ASSERT_EQ(back.width(), width);
    ASSERT_EQ(back.height(), height);
    EXPECT_LE(farthest(picture, back), 12) << width << " by " << height;
  }
}

TEST(Jpeg, HigherQualityIsLargerAndNearer) {
  const Image<Rgb8> picture = ramps(200, 131);
  const std::vector<std::uint8_t> coarse = encode_jpeg(picture, 30), fine = encode_jpeg(picture, 95);
  EXPECT_LT(coarse.size(), fine.size());
  EXPECT_GT(farthest(picture, decoded(coarse)), farthest(picture, decoded(fine)));
  EXPECT_EQ(fine, encode_jpeg(picture, 95));
}

TEST(Jpeg, AThinColouredLineKeepsItsColour) {
  Image<Rgb8> picture(64, 64, Rgb8{255, 255, 255});
  for (int y = 0; y < 64; ++y)
    picture.at(31, y) = {230, 30, 20};
  const Image<Rgb8> back = decoded(encode_jpeg(picture, 92));
  // With half the colour values it would come back near (120, 100, 100).
  EXPECT_GT(back.at(31, 32).r, 190);
  EXPECT_LT(back.at(31, 32).g, 70);
}

TEST(Jpeg, TakesAsManyBytesAsItNeeds) {
  Image<Rgb8> noise(600, 500);
  std::mt19937 random(7);
  for (std::size_t i = 0; i < noise.size(); ++i) {
    const auto bits = random();
    noise[i] = {static_cast<std::uint8_t>(bits & 255U), static_cast<std::uint8_t>((bits >> 8U) & 255U),
                static_cast<std::uint8_t>((bits >> 16U) & 255U)};
  }
  const std::vector<std::uint8_t> jpeg = encode_jpeg(noise, 100);
  EXPECT_GT(jpeg.size(), noise.size() * 2);
  // Marks of its begin and end (ISO/IEC 10918-1, table B.1).
  EXPECT_EQ((std::vector<std::uint8_t>(jpeg.begin(), jpeg.begin() + 2)),
            (std::vector<std::uint8_t>{0xff, 0xd8}));
  EXPECT_EQ((std::vector<std::uint8_t>(jpeg.end() - 2, jpeg.end())), (std::vector<std::uint8_t>{0xff, 0xd9}));
  EXPECT_LE(farthest(noise, decoded(jpeg)), 12);
}

TEST(Jpeg, RefusesAPictureThatTheFormatCannotHold) {
  EXPECT_GT(encode_jpeg(Image<Rgb8>(most_jpeg_side, 1), 90).size(), 0u);
  for (const auto& [width, height] : {std::pair{most_jpeg_side + 1, 1}, {1, most_jpeg_side + 1}, {0, 0}}) {
    try {
      encode_jpeg(Image<Rgb8>(width, height), 90);
      ADD_FAILURE() << width << " by " << height;
    } catch (const Problem& problem) {
      EXPECT_EQ(problem.kind(), ProblemKind::other);
      EXPECT_FALSE(problem.wrong().empty());
    }
  }
}

}  // namespace
}  // namespace powderplan
