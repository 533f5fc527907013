#include "raster/area_mean.h"

#include <gtest/gtest.h>

#include <vector>

namespace powderplan {
namespace {

AreaMean shrunk(const std::vector<std::vector<float>>& rows, int channels, int width, int height) {
  AreaMean mean(static_cast<int>(rows.front().size()) / channels, static_cast<int>(rows.size()), channels,
                width, height);
  for (const std::vector<float>& row : rows)
    mean.add(row.data());
  return mean;
}

TEST(AreaMean, IsTheMeanOverWhatEachPixelCovers) {
  // Three pixels on two: each takes one and a half.
  const AreaMean mean = shrunk({{0, 3, 6}, {0, 3, 6}, {3, 3, 3}}, 1, 2, 2);
  EXPECT_NEAR(mean.mean().at(0, 0), 1, 1e-6);
  EXPECT_NEAR(mean.mean().at(1, 0), 5, 1e-6);
  EXPECT_NEAR(mean.mean().at(0, 1), (1.0F + 2 * 3) / 3, 1e-6);
  EXPECT_NEAR(mean.mean().at(1, 1), (5.0F + 2 * 3) / 3, 1e-6);
}

TEST(AreaMean, KeepsChannelsApart) {
  const AreaMean mean = shrunk({{1, 10, 3, 30}}, 2, 1, 1);
  EXPECT_NEAR(mean.mean().at(0, 0), 2, 1e-6);
  EXPECT_NEAR(mean.mean().at(1, 0), 20, 1e-6);
}

TEST(AreaMean, OfTheSameSizeIsThePicture) {
  const AreaMean mean = shrunk({{1, 2, 3}, {4, 5, 6}}, 1, 3, 2);
  for (int i = 0; i < 6; ++i)
    EXPECT_EQ(mean.mean()[static_cast<std::size_t>(i)], static_cast<float>(i + 1));
}

TEST(AreaMean, OfOneValueIsThatValueAtAnySize) {
  for (int width = 1; width <= 23; ++width) {
    const AreaMean mean =
        shrunk(std::vector<std::vector<float>>(17, std::vector<float>(23, 0.7F)), 1, width, 5);
    for (std::size_t i = 0; i < mean.mean().size(); ++i)
      ASSERT_NEAR(mean.mean()[i], 0.7F, 1e-5) << width;
  }
}

TEST(AreaMean, OfSomeRowsIsThatPartOfTheWhole) {
  std::vector<std::vector<float>> rows(29, std::vector<float>(13));
  for (std::size_t i = 0; i < 29 * 13; ++i)
    rows[i / 13][i % 13] = static_cast<float>(i * i % 101) / 7;
  for (const int height : {1, 4, 11, 28, 29}) {
    const AreaMean all = shrunk(rows, 1, 5, height);
    for (int begin = 0; begin < height; ++begin) {
      for (const int end : {begin + 1, height}) {
        AreaMean part(13, 29, 1, 5, height, begin, end);
        ASSERT_LE(part.first_row(), begin * 29 / height);
        ASSERT_GE(part.end_row(), end * 29 / height);
        for (int y = part.first_row(); y < part.end_row(); ++y)
          part.add(rows[static_cast<std::size_t>(y)].data());
        ASSERT_EQ(part.mean().height(), end - begin);
        for (std::size_t i = 0; i < part.mean().size(); ++i)
          ASSERT_EQ(part.mean()[i], all.mean()[static_cast<std::size_t>(5 * begin) + i])
              << height << ' ' << begin;
      }
    }
  }
}

}  // namespace
}  // namespace powderplan
