#include "separation/lost_detail.h"

#include "property.h"

namespace powderplan {
namespace {

constexpr int width = 240, height = 160;
const Millimetres pitch(0.25), smallest(2);
const Image<std::uint8_t> no_bare(width, height);

LostDetail lost(const Image<PackedLab>& wanted, const Image<PackedLab>& got) {
  return lost_detail(wanted, got, no_bare, pitch, smallest);
}

template <class F>
Image<PackedLab> painted(F&& lightness) {
  Image<PackedLab> picture(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      picture.at(x, y) = {static_cast<float>(lightness(x, y)), 0, 0};
  }
  return picture;
}

double squares(int x, int y) {  // of half a millimetre
  return (x / 2 + y / 2) % 2 == 0 ? 30 : 80;
}
const Image<PackedLab> checks = painted(squares);
const Image<PackedLab> plain = painted([](int, int) { return 55; });

TEST(LostDetail, NothingIsLostOfWhatIsShown) {
  EXPECT_EQ(lost(checks, checks).share, 0);
}

TEST(LostDetail, AllIsLostOnAPlainPlan) {
  const LostDetail found = lost(checks, plain);
  EXPECT_EQ(found.share, 1);
  for (std::size_t i = 0; i < found.lost.size(); ++i)
    ASSERT_EQ(found.lost[i], 255);
}

TEST(LostDetail, APlainPictureHasNone) {
  EXPECT_EQ(lost(plain, checks).share, 0);
  EXPECT_EQ(lost(plain, plain).share, 0);
}

TEST(LostDetail, TheOppositeIsLostToo) {
  EXPECT_EQ(lost(checks, painted([](int x, int y) { return 110 - squares(x, y); })).share, 1);
}

TEST(LostDetail, HalfOfItIsTheLimit) {
  const auto faded = [](double gain) {
    return lost(checks, painted([gain](int x, int y) { return 55 + gain * (squares(x, y) - 55); })).share;
  };
  EXPECT_EQ(faded(0.55), 0);
  EXPECT_EQ(faded(0.45), 1);
}

TEST(LostDetail, ShareFollowsTheArea) {
  // The plan shows the squares from a column on: before it, all is lost.
  holds_always(
      [] {
        const int border = any_whole(30, width - 30);
        const double share =
            lost(checks, painted([&](int x, int y) { return x < border ? 55 : squares(x, y); })).share;
        RC_ASSERT(std::abs(share - static_cast<double>(border) / width) < 0.02);
      },
      12);
}

TEST(LostDetail, BroadAreasAreNoDetailAndTheirEdgesAreShown) {
  const auto disc = [](double left, double inside) {
    return painted([=](int x, int y) { return std::hypot(x - left, y - 80.0) < 50 ? inside : 20; });
  };
  EXPECT_EQ(lost(disc(120, 80), disc(120, 80)).share, 0);
  EXPECT_EQ(lost(disc(120, 80), disc(121, 75)).share, 0) << "a quarter of a millimetre aside";
  EXPECT_GT(lost(disc(120, 80), disc(120, 20)).share, 0.99) << "the disc is missing";
}

TEST(LostDetail, FaintTextureIsNotWorthTheName) {
  EXPECT_EQ(lost(painted([](int x, int y) { return 55 + (squares(x, y) - 55) / 10; }), plain).share, 0);
}

TEST(LostDetail, BarePointsDoNotCount) {
  Image<std::uint8_t> bare(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < 120; ++x)
      bare.at(x, y) = 1;
  }
  const Image<PackedLab> half = painted([](int x, int y) { return x < 120 ? squares(x, y) : 55; });
  EXPECT_EQ(lost_detail(half, plain, bare, pitch, smallest).share, 0);
  EXPECT_EQ(lost_detail(checks, half, bare, pitch, smallest).share, 1);
}

TEST(LostDetail, IsThereForAnySize) {
  EXPECT_EQ(lost_detail({}, {}, {}, pitch, smallest).share, 0);
  const Image<PackedLab> one(1, 1, {50, 0, 0});
  EXPECT_EQ(lost_detail(one, one, Image<std::uint8_t>(1, 1), pitch, Millimetres(100)).share, 0);
}

}  // namespace
}  // namespace powderplan
