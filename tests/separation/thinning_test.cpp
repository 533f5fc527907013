#include "separation/thinning.h"

#include <opencv2/imgproc.hpp>

#include "masks.h"

namespace powderplan {
namespace {

Image<std::uint8_t> image_of(const cv::Mat& mask) {
  Image<std::uint8_t> image(mask.cols, mask.rows);
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x)
      image.at(x, y) = mask.at<std::uint8_t>(y, x);
  }
  return image;
}

int parts(const Image<std::uint8_t>& image) {
  const cv::Mat view(image.height(), image.width(), CV_8U, const_cast<std::uint8_t*>(image.data()));
  cv::Mat ids;
  return image.empty() ? 0 : cv::connectedComponents(view, ids, 8, CV_32S) - 1;
}

int count(const Image<std::uint8_t>& image) {
  int sum = 0;
  for (std::size_t i = 0; i < image.size(); ++i)
    sum += image[i] != 0;
  return sum;
}

// Takes away only, and keeps the number of parts and of holes: Guo and Hall's own claim.
TEST(Thinned, KeepsPartsAndHoles) {
  holds_always([] {
    const cv::Mat mask = any_mask(40);
    const Image<std::uint8_t> before = image_of(mask), after = thinned(before);
    Image<std::uint8_t> outside(before.width() + 2, before.height() + 2, 1), outside_after = outside;
    for (int y = 0; y < before.height(); ++y) {
      for (int x = 0; x < before.width(); ++x) {
        RC_ASSERT(after.at(x, y) <= (before.at(x, y) != 0 ? 1 : 0));
        outside.at(x + 1, y + 1) = before.at(x, y) == 0;
        outside_after.at(x + 1, y + 1) = after.at(x, y) == 0;
      }
    }
    RC_ASSERT(parts(before) == parts(after));
    // Holes hang together by sides only.
    const auto holes = [](Image<std::uint8_t>& image) {
      const cv::Mat view(image.height(), image.width(), CV_8U, image.data());
      cv::Mat ids;
      return cv::connectedComponents(view, ids, 4, CV_32S);
    };
    RC_ASSERT(holes(outside) == holes(outside_after));
  });
}

TEST(Thinned, WhatIsThinStays) {
  for (const bool level : {true, false}) {
    Image<std::uint8_t> line(30, 30);
    for (int i = 4; i < 25; ++i)
      (level ? line.at(i, 10) : line.at(10, i)) = 1;
    EXPECT_EQ(count(thinned(line)), 21);
  }
  Image<std::uint8_t> dot(5, 5);
  dot.at(2, 2) = 7;
  EXPECT_EQ(count(thinned(dot)), 1);
  EXPECT_EQ(thinned(dot).at(2, 2), 1);
}

// A bar becomes its middle line, shortened by no more than half its width at either end.
TEST(Thinned, ABarBecomesItsMiddle) {
  for (int width = 1; width <= 15; ++width) {
    const Image<std::uint8_t> bar = image_of(
        drawn_mask(80, 40, [&](int x, int y) { return x >= 10 && x < 70 && y >= 12 && y < 12 + width; }));
    const Image<std::uint8_t> lines = thinned(bar);
    for (int x = 10 + width; x < 70 - width; ++x) {
      int in_column = 0;
      for (int y = 0; y < 40; ++y) {
        if (lines.at(x, y) != 0) {
          ++in_column;
          EXPECT_NEAR(y, 12 + (width - 1) / 2.0, 1.0);
        }
      }
      EXPECT_EQ(in_column, 1) << width << ' ' << x;
    }
  }
}

TEST(Thinned, EmptyAndFull) {
  EXPECT_TRUE(thinned({}).empty());
  EXPECT_EQ(count(thinned(Image<std::uint8_t>(20, 10))), 0);
  for (const auto& [width, height] : {std::pair{1, 1}, {1, 9}, {9, 1}, {2, 2}, {300, 200}})
    EXPECT_EQ(parts(thinned(Image<std::uint8_t>(width, height, 1))), 1);
}

}  // namespace
}  // namespace powderplan
