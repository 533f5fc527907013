#include "raster/fit.h"

#include <cmath>
#include <functional>

#include "parallel.h"
#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

Picture made(int width, int height, const std::function<LinearPixel(int, int)>& value) {
  Picture picture;
  picture.pixels = Image<LinearPixel>(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      picture.pixels.at(x, y) = value(x, y);
  }
  return picture;
}
Picture grey(int width, int height, const std::function<double(int, int)>& value) {
  return made(width, height, [&](int x, int y) {
    const float v = static_cast<float>(value(x, y));
    return LinearPixel{v, v, v, 1};
  });
}

PieceSize size(double width, std::optional<double> height = {}) {
  PieceSize out{Millimetres(width), {}};
  if (height)
    out.height = Millimetres(*height);
  return out;
}

constexpr Millimetres one_mm{1.0};

TEST(Fit, OnePixelAPointIsTheSamePicture) {
  const Picture picture = grey(7, 5, [](int x, int y) { return x * 10 + y; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(7, 5), one_mm);
  EXPECT_EQ(fitted.grid, (Grid{one_mm, 7, 5}));
  EXPECT_EQ(fitted.pixels_per_point, 1.0);
  for (std::size_t i = 0; i < picture.pixels.size(); ++i)
    EXPECT_EQ(fitted.pixels[i].r, picture.pixels[i].r) << i;
}

TEST(Fit, ShrinkingTakesTheMeanOfLightOverEachPoint) {
  const Picture picture = grey(6, 4, [](int x, int y) { return x + 100 * y; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(3, 2), one_mm);
  EXPECT_EQ(fitted.pixels_per_point, 2.0);
  EXPECT_FLOAT_EQ(fitted.pixels.at(0, 0).g, 50.5f);
  EXPECT_FLOAT_EQ(fitted.pixels.at(2, 1).g, 254.5f);
}

TEST(Fit, PixelsOnTheBorderOfAPointCountInPart) {
  // 3 pixels to 2 points: (a + b/2) / 1.5 and (b/2 + c) / 1.5.
  const Picture picture = grey(3, 3, [](int x, int) { return x == 0 ? 3 : x == 1 ? 6 : 12; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(2, 2), one_mm);
  EXPECT_NEAR(fitted.pixels.at(0, 0).r, 4, 1e-5);
  EXPECT_NEAR(fitted.pixels.at(1, 1).r, 10, 1e-5);
}

TEST(Fit, TheLightOfThePictureIsKept) {
  cv::RNG random(3);
  const Picture picture = grey(101, 77, [&](int, int) { return random.uniform(0.0, 1.0); });
  double before = 0, after = 0;
  for (std::size_t i = 0; i < picture.pixels.size(); ++i)
    before += static_cast<double>(picture.pixels[i].r);
  const FittedPicture fitted =
      fit_to_piece(picture, {}, FitMode::fill, size(10.1, 7.7), Millimetres(0.7 * 1.0 / 1.4));
  // 20 x 15 points: the height is cut by 0.4 pixels a side at most, so the mean is near, not equal.
  for (std::size_t i = 0; i < fitted.pixels.size(); ++i)
    after += static_cast<double>(fitted.pixels[i].r);
  EXPECT_NEAR(after / static_cast<double>(fitted.pixels.size()),
              before / static_cast<double>(picture.pixels.size()), 5e-3);
}

TEST(Fit, ACheckerboardFinerThanTheGridTurnsGrey) {
  const Picture picture = grey(400, 400, [](int x, int y) { return (x + y) % 2; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(37, 37), one_mm);
  for (std::size_t i = 0; i < fitted.pixels.size(); ++i)
    EXPECT_NEAR(fitted.pixels[i].r, 0.5, 0.01);
}

TEST(Fit, EnlargingMakesNoHalo) {
  const Picture picture = grey(8, 8, [](int x, int) { return x < 4 ? 0.0 : 1.0; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(80, 80), one_mm);
  EXPECT_DOUBLE_EQ(fitted.pixels_per_point, 0.1);
  float before = 0;
  for (int x = 0; x < 80; ++x) {
    const LinearPixel& p = fitted.pixels.at(x, 40);
    EXPECT_GE(p.r, before);
    EXPECT_LE(p.r, 1.0f);
    EXPECT_EQ(p.alpha, 1.0f);
    before = p.r;
  }
  EXPECT_EQ(fitted.pixels.at(0, 0).r, 0.0f);
  EXPECT_EQ(fitted.pixels.at(79, 0).r, 1.0f);
  // The edge stays where it was.
  EXPECT_LT(fitted.pixels.at(39, 0).r, 0.5f);
  EXPECT_GT(fitted.pixels.at(40, 0).r, 0.5f);
}

TEST(Fit, EnlargingFollowsASlope) {
  const Picture picture = grey(16, 3, [](int x, int) { return x + 0.5; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(64, 12), one_mm);
  for (int x = 8; x < 56; ++x)
    EXPECT_NEAR(fitted.pixels.at(x, 6).r, (x + 0.5) / 4, 1e-4) << x;
}

TEST(Fit, VerySmallPicturesFillAnyPiece) {
  for (const auto& [w, h] : {std::pair(1, 1), {1, 4}, {2, 4}, {4, 1}, {4, 2}, {2, 2}}) {
    const Picture picture = grey(w, h, [](int, int) { return 0.25; });
    for (const FitMode mode : {FitMode::fill, FitMode::whole}) {
      const FittedPicture fitted = fit_to_piece(picture, {}, mode, size(13, 11), one_mm);
      for (std::size_t i = 0; i < fitted.pixels.size(); ++i) {
        const LinearPixel& p = fitted.pixels[i];
        EXPECT_NEAR(p.r, p.alpha > 0 ? 0.25 : 0.0, 1e-6);
        EXPECT_GE(p.alpha, mode == FitMode::fill ? 1.0f : 0.0f);
        EXPECT_LE(p.alpha, 1.0f);
      }
    }
  }
}

TEST(Fit, TheHeightFollowsTheProportions) {
  const Picture picture = grey(300, 200, [](int, int) { return 1; });
  EXPECT_EQ(fit_to_piece(picture, {}, FitMode::fill, size(90), one_mm).grid, (Grid{one_mm, 90, 60}));
  EXPECT_EQ(fit_to_piece(picture, {0, 0, 0.5, 1}, FitMode::fill, size(90), one_mm).grid,
            (Grid{one_mm, 90, 120}));
  // Rounding to whole points leaves no bare edge, in either mode.
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::whole, size(100), one_mm);
  EXPECT_EQ(fitted.grid.height, 67);
  for (std::size_t i = 0; i < fitted.pixels.size(); ++i)
    EXPECT_EQ(fitted.pixels[i].alpha, 1.0f);
}

TEST(Fit, FillCutsEvenlyOnBothSides) {
  const Picture picture = grey(40, 20, [](int x, int) { return x; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(20, 20), one_mm);
  EXPECT_EQ(fitted.pixels.at(0, 0).r, 10.0f);
  EXPECT_EQ(fitted.pixels.at(19, 0).r, 29.0f);
}

TEST(Fit, WholeLeavesBareSheetAround) {
  const Picture picture = grey(40, 20, [](int, int) { return 0.5; });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::whole, size(20, 20), one_mm);
  EXPECT_EQ(fitted.pixels_per_point, 2.0);
  EXPECT_EQ(fitted.pixels.at(3, 4).alpha, 0.0f);
  EXPECT_EQ(fitted.pixels.at(3, 5).alpha, 1.0f);
  EXPECT_EQ(fitted.pixels.at(3, 14).alpha, 1.0f);
  EXPECT_EQ(fitted.pixels.at(3, 15).alpha, 0.0f);
  // 20 mm by 9.5: a quarter of a point more on each side, covered in part.
  const FittedPicture part =
      fit_to_piece(grey(40, 19, [](int, int) { return 0.5; }), {}, FitMode::whole, size(20, 20), one_mm);
  EXPECT_NEAR(part.pixels.at(3, 5).alpha, 0.75, 1e-6);
  EXPECT_NEAR(part.pixels.at(3, 5).r, 0.5, 1e-6);
}

TEST(Fit, TheCropIsTakenExactly) {
  const Picture picture = grey(100, 50, [](int x, int y) { return x + 1000 * y; });
  const FittedPicture fitted =
      fit_to_piece(picture, {0.25, 0.2, 0.75, 0.6}, FitMode::fill, size(50, 20), one_mm);
  EXPECT_EQ(fitted.pixels.at(0, 0).r, 10025.0f);
  EXPECT_EQ(fitted.pixels.at(49, 19).r, 29074.0f);
}

TEST(Fit, ClearPixelsLendNoColour) {
  const Picture picture = made(2, 2, [](int x, int) {
    return x == 0 ? LinearPixel{0, 1, 0, 0} : LinearPixel{1, 0, 0, 1};
  });
  const FittedPicture fitted = fit_to_piece(picture, {}, FitMode::fill, size(1, 1), one_mm);
  EXPECT_FLOAT_EQ(fitted.pixels[0].alpha, 0.5f);
  EXPECT_FLOAT_EQ(fitted.pixels[0].r, 1.0f);
  EXPECT_FLOAT_EQ(fitted.pixels[0].g, 0.0f);
}

TEST(Fit, TheSameWhateverTheNumberOfThreads) {
  cv::RNG random(5);
  const Picture picture = made(211, 173, [&](int, int) {
    return LinearPixel{random.uniform(0.f, 1.f), random.uniform(0.f, 1.f), random.uniform(0.f, 1.f),
                       random.uniform(0.f, 1.f)};
  });
  for (const double width : {50.0, 400.0}) {
    const auto run = [&](unsigned threads) {
      const ThreadCount count(threads);
      return fit_to_piece(picture, {}, FitMode::fill, size(width), one_mm);
    };
    const FittedPicture one = run(1), four = run(4);
    for (std::size_t i = 0; i < one.pixels.size(); ++i) {
      ASSERT_EQ(one.pixels[i].r, four.pixels[i].r);
      ASSERT_EQ(one.pixels[i].alpha, four.pixels[i].alpha);
    }
  }
}

TEST(Fit, WhatCannotBe) {
  const Picture picture = grey(4, 4, [](int, int) { return 1; });
  const auto message = [&](const CropBox& crop, const PieceSize& piece, double pitch) {
    return message_of([&] { fit_to_piece(picture, crop, FitMode::fill, piece, Millimetres(pitch)); });
  };
  EXPECT_EQ(message({0.5, 0, 0.5, 1}, size(9), 1),
            "--crop: left 0.5, top 0, right 0.5, bottom 1 leaves nothing of the picture; give shares of the "
            "picture from 0 "
            "to 1, with left < right and top < bottom");
  EXPECT_EQ(message({0, 0, 1.5, 1}, size(9), 1),
            "--crop: left 0, top 0, right 1.5, bottom 1 leaves nothing of the picture; give shares of the "
            "picture from 0 "
            "to 1, with left < right and top < bottom");
  EXPECT_EQ(message({}, size(0.2), 1),
            "--width: 0.2 mm is less than one grid point of 1 mm; make the piece larger or the pitch finer");
  EXPECT_EQ(message({}, size(9, -3), 1),
            "--height: -3 mm is less than one grid point of 1 mm; make the piece larger or the pitch finer");
  EXPECT_EQ(message({}, size(std::nan(""), 3), 1),
            "--width: nan mm is less than one grid point of 1 mm; make the piece larger or the pitch finer");
  EXPECT_EQ(message({}, size(9), 0), "--pitch-mm: 0 mm is not a length; give a pitch above 0");
  EXPECT_EQ(message({}, size(30000, 30000), 1),
            "--pitch-mm: 3e+04 x 3e+04 mm in points of 1 mm are more than 400 million points; make the pitch "
            "coarser or the "
            "piece smaller");
  EXPECT_EQ(
      message({0, 0, 1, 0.001}, size(9), 1),
      "--width: the picture, 4 x 0 pixels, is so wide that a piece 9 mm wide would be 0.009 mm high, and "
      "edges are 1 to 5000 mm; use a part of the picture with --crop, or give --height too");
  EXPECT_EQ(
      message({0, 0, 0.001, 1}, size(9), 1),
      "--width: the picture, 0 x 4 pixels, is so high that a piece 9 mm wide would be 9000 mm high, and "
      "edges are 1 to 5000 mm; use a part of the picture with --crop, or give --height too");
}

}  // namespace
}  // namespace powderplan::testing
