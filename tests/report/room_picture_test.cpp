// A piece put into made-up photos of a wall: where it lies, how large, how bright.
#include "report/room_picture.h"

#include <gtest/gtest.h>

#include <cmath>

#include "photo/flat_view.h"
#include "problem.h"

namespace powderplan {
namespace {

constexpr Rgb8 white{255, 255, 255}, red{255, 0, 0};

Image<Rgb8> plain(const Rgb8& colour) {
  return {400, 200, colour};
}

// Seen from straight before it: a wall of 1000 x 500 mm fills all but 50 pixels round it, 1 pixel a mm.
Room straight(const std::function<LinearPixel(int x, int y)>& colour) {
  Room room;
  room.photo.pixels = Image<LinearPixel>(1100, 600);
  for (int y = 0; y < 600; ++y)
    for (int x = 0; x < 1100; ++x)
      room.photo.pixels.at(x, y) = colour(x, y);
  room.corners = {{{50, 50}, {1050, 50}, {1050, 550}, {50, 550}}};
  room.width = Millimetres(1000);
  room.height = Millimetres(500);
  return room;
}
Room grey(float reflected) {
  return straight([=](int, int) { return LinearPixel{reflected, reflected, reflected, 1}; });
}

RoomPicture hung(const Room& room, const Rgb8& colour, View view = View::wall, PointMm middle = {500, 250}) {
  return room_picture(room, plain(colour), Millimetres(200), Millimetres(100), middle, view);
}

double linear(std::uint8_t code) {
  return srgb_decode(code / 255.0);
}

TEST(RoomPicture, IsAtScaleAndInItsPlace) {
  const Image<Rgb8> picture = hung(grey(0.4F), red, View::wall, {300, 200}).picture;
  ASSERT_EQ(picture.width(), 1100);
  int points = 0;
  double sum_x = 0, sum_y = 0;
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      if (picture.at(x, y).g > 30)
        continue;
      ++points;
      sum_x += x + 0.5;
      sum_y += y + 0.5;
    }
  }
  EXPECT_EQ(points, 200 * 100);
  EXPECT_NEAR(sum_x / points, 50 + 300, 0.5);
  EXPECT_NEAR(sum_y / points, 50 + 200, 0.5);
}

// Where the corners of the piece are to be seen follows from the wall's corners by a projection computed here
// from its vanishing points, not by the program's own matrices: the wall is turned away, its right edge half
// as high as its left one, so that what lies in its middle is seen at two thirds of the left edge's height.
TEST(RoomPicture, FollowsThePerspective) {
  Room room = grey(0.4F);
  room.corners = {{{100, 50}, {1000, 175}, {1000, 425}, {100, 550}}};
  const Image<Rgb8> picture = hung(room, red).picture;
  // Depth along the wall by the cross ratio: its right edge is twice as far, so share t of it is seen at
  // share 2 t / (1 + t).
  const auto seen_x = [](double t) { return 100 + 900 * 2 * t / (1 + t); };
  const auto half_height = [](double x) { return 250 - (x - 100) / 900 * 125; };
  const auto is_red = [&](double x, double y) {
    return picture.at(static_cast<int>(x), static_cast<int>(y)).g < 30;
  };
  for (const double t : {0.4, 0.6}) {
    const double x = seen_x(t), inwards = t < 0.5 ? 3 : -3;
    const double high = half_height(x + inwards) * 0.2;  // 50 of the 250 mm above the middle
    EXPECT_TRUE(is_red(x + inwards, 300 - high + 3));
    EXPECT_TRUE(is_red(x + inwards, 300 + high - 3));
    EXPECT_FALSE(is_red(x + inwards, 300 - high - 3));
    EXPECT_FALSE(is_red(x + inwards, 300 + high + 3));
    EXPECT_FALSE(is_red(x - inwards, 300));
  }
}

TEST(RoomPicture, AWhitePieceIsAsBrightAsTheLightOnTheWallMakesIt) {
  const Rgb8 seen = hung(grey(0.4F), white).picture.at(550, 300);
  EXPECT_NEAR(linear(seen.r), 0.4 / plain_wall, 0.01);
  EXPECT_EQ(seen.r, seen.g);
  EXPECT_EQ(seen.r, seen.b);
}

TEST(RoomPicture, TheLightFallsOffAcrossThePieceAsOnTheWall) {
  // By 10 % each 100 mm; a lamp on the wall is no part of that.
  const auto light = [](int x) { return static_cast<float>(0.3 * std::pow(0.9, x / 100.0)); };
  const Room room = straight([&](int x, int y) {
    const bool lamp = x > 560 && x < 600 && y > 180 && y < 210;
    const float l = lamp ? 1.0F : light(x);
    return LinearPixel{l, l, l, 1};
  });
  const Image<Rgb8> picture = hung(room, white).picture;
  for (const int x : {460, 550, 640})
    EXPECT_NEAR(linear(picture.at(x, 300).g), light(x) / plain_wall, 0.006) << x;
}

TEST(RoomPicture, TheColourOfTheLightIsOnTheWholeThing) {
  const Room room = straight([](int, int) { return LinearPixel{0.42F, 0.4F, 0.36F, 1}; });
  const Rgb8 seen = hung(room, white).picture.at(550, 300);
  EXPECT_NEAR(linear(seen.r) / linear(seen.b), 0.42 / 0.36, 0.03);
}

TEST(RoomPicture, ThePaintOfAColouredWallIsNotOnThePiece) {
  Room room = straight([](int, int) { return LinearPixel{0.1F, 0.3F, 0.1F, 1}; });
  const RoomPicture guessed = hung(room, white);
  const Rgb8 by_guess = guessed.picture.at(550, 300);
  EXPECT_EQ(by_guess.r, by_guess.g);
  ASSERT_EQ(guessed.notes.size(), 1U);
  EXPECT_NE(guessed.notes[0].find("the wall is coloured"), std::string::npos);
  room.paint = to_rgb8(LinearRgb{0.2, 0.6, 0.2});
  const RoomPicture known = hung(room, white);
  EXPECT_TRUE(known.notes.empty());
  EXPECT_NEAR(linear(known.picture.at(550, 300).g), 0.5, 0.01);
  EXPECT_NEAR(linear(known.picture.at(550, 300).r), 0.5, 0.02);
}

TEST(RoomPicture, InAWindowItIsAsBrightAsWhatIsSeenBesideIt) {
  const Rgb8 seen = hung(grey(0.6F), white, View::window).picture.at(550, 300);
  EXPECT_NEAR(linear(seen.g), 0.6, 0.01);
}

TEST(RoomPicture, CastsAShadowOnAWallOnly) {
  const Image<Rgb8> wall = hung(grey(0.4F), white).picture;
  const int below = 50 + 300 + 3;
  EXPECT_LT(linear(wall.at(550, below).g), 0.35);
  EXPECT_NEAR(linear(wall.at(550, 560).g), 0.4, 0.005) << "and far away it ends";
  const Image<Rgb8> window = hung(grey(0.4F), white, View::window).picture;
  EXPECT_NEAR(linear(window.at(550, below).g), 0.4, 0.005);
}

TEST(RoomPicture, ALargePhotoIsMadeSmallerAndThePieceWithIt) {
  Room room = grey(0.4F);
  room.photo.pixels = Image<LinearPixel>(5500, 3000, LinearPixel{0.4F, 0.4F, 0.4F, 1});
  for (PhotoPoint& corner : room.corners)
    corner = {corner.x * 5, corner.y * 5};
  const Image<Rgb8> picture = hung(room, red).picture;
  EXPECT_EQ(picture.width(), longest_room_side);
  int points = 0;
  for (std::size_t i = 0; i < picture.size(); ++i)
    points += picture[i].g < 30 ? 1 : 0;
  const double scale = longest_room_side / 1100.0;
  EXPECT_NEAR(points, 200 * 100 * scale * scale, 0.01 * 200 * 100 * scale * scale);
}

TEST(RoomPicture, RefusesCornersThatAreNoneAndPlacesOutsideThePhoto) {
  Room room = grey(0.4F);
  std::swap(room.corners[1], room.corners[3]);
  EXPECT_THROW(hung(room, red), Problem) << "a mirror image";
  room = grey(0.4F);
  room.corners[2] = room.corners[1];
  EXPECT_THROW(hung(room, red), Problem) << "two corners in one place";
  EXPECT_THROW(hung(grey(0.4F), red, View::wall, {20, 250}), Problem) << "half outside the photo";
  // Its right edge is three times as far away as its left one: at half its width to the left it vanishes, and
  // what lies beyond that is behind the camera, though its formula leads back into the photo.
  room = grey(0.4F);
  room.corners = {{{300, 100}, {700, 233}, {700, 367}, {300, 500}}};
  EXPECT_THROW(hung(room, red, View::wall, {-4000, 250}), Problem);
}

}  // namespace
}  // namespace powderplan
