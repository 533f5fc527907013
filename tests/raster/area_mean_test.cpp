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

}  // namespace
}  // namespace powderplan
