#include "report/close_up.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

// 200 x 100 mm, one pixel a mm, even but for a chequered patch of 20 x 20 mm.
Image<Rgb8> with_patch(int left, int top) {
  Image<Rgb8> picture(200, 100, Rgb8{90, 120, 150});
  for (int y = 0; y < 20; ++y) {
    for (int x = 0; x < 20; ++x)
      picture.at(left + x, top + y) = (x + y) % 2 == 0 ? Rgb8{0, 0, 0} : Rgb8{255, 255, 255};
  }
  return picture;
}

TEST(CloseUp, HoldsThePartWithMostGoingOn) {
  for (const auto& [left, top] :
       {std::pair{0, 0}, std::pair{150, 20}, std::pair{180, 80}, std::pair{90, 60}}) {
    const BoxMm part =
        busiest_part(with_patch(left, top), Millimetres(200), Millimetres(60), Millimetres(40));
    EXPECT_LE(part.left, left);
    EXPECT_LE(part.top, top);
    EXPECT_GE(part.right, left + 20);
    EXPECT_GE(part.bottom, top + 20);
    EXPECT_DOUBLE_EQ(part.right - part.left, 60);
    EXPECT_DOUBLE_EQ(part.bottom - part.top, 40);
    EXPECT_GE(part.left, 0);
    EXPECT_LE(part.right, 200);
    EXPECT_LE(part.bottom, 100);
  }
}

TEST(CloseUp, IsTheWholeOfASmallPiece) {
  const BoxMm part = busiest_part(Image<Rgb8>(80, 60), Millimetres(40), Millimetres(62), Millimetres(56));
  EXPECT_EQ(part.left, 0);
  EXPECT_EQ(part.top, 0);
  EXPECT_DOUBLE_EQ(part.right, 40);
  EXPECT_DOUBLE_EQ(part.bottom, 30);
}

TEST(CloseUp, OfAnEvenPieceIsItsCorner) {
  const BoxMm part = busiest_part(Image<Rgb8>(300, 300), Millimetres(300), Millimetres(60), Millimetres(40));
  EXPECT_EQ(part.left, 0);
  EXPECT_EQ(part.top, 0);
}

// Edges of powder a hair wide do not outweigh what is seen.
TEST(CloseUp, WorksOnPicturesFinerThanAMillimetre) {
  Image<Rgb8> picture(800, 400, Rgb8{128, 128, 128});
  for (int y = 200; y < 300; ++y) {
    for (int x = 600; x < 700; ++x)
      picture.at(x, y) = (x / 8 + y / 8) % 2 == 0 ? Rgb8{0, 0, 0} : Rgb8{255, 255, 255};
  }
  const BoxMm part = busiest_part(picture, Millimetres(200), Millimetres(60), Millimetres(40));
  EXPECT_LE(part.left, 150);
  EXPECT_GE(part.right, 175);
  EXPECT_LE(part.top, 50);
  EXPECT_GE(part.bottom, 75);
}

}  // namespace
}  // namespace powderplan
