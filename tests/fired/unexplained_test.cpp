#include "fired/unexplained.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

constexpr int side = 40;
const Grid grid{Millimetres(1), side, side};

Image<Xyz> grey(double l) {
  return {side, side, to_xyz(Lab{l, 0, 0})};
}

SeenPiece seen_as(Image<Xyz> colour) {
  return {grid, std::move(colour), Image<std::uint8_t>(side, side, 0), Spectrum::constant(0.85)};
}

TEST(Unexplained, IsNothingWhereTheDifferenceIsAPhotosOwn) {
  const Image<LabPixel> left = unexplained(grey(50), seen_as(grey(50.9)));
  for (std::size_t i = 0; i < left.size(); ++i)
    ASSERT_EQ(left[i].l, 0);
}

TEST(Unexplained, CountsByWhatIsAboveThat) {
  const Image<LabPixel> left = unexplained(grey(50), seen_as(grey(44)));
  EXPECT_NEAR(left.at(side / 2, side / 2).l, -5, 1e-3);
}

TEST(Unexplained, LeavesThinStripesAndUntrustedPointsOut) {
  Image<Xyz> stripe = grey(50);
  for (int y = 0; y < side; ++y)
    stripe.at(10, y) = to_xyz(Lab{90, 0, 0});
  SeenPiece piece = seen_as(std::move(stripe));
  for (int y = 0; y < side; ++y)
    for (int x = 25; x < side; ++x) {
      piece.colour.at(x, y) = to_xyz(Lab{90, 0, 0});
      piece.untrusted.at(x, y) = 1;
    }
  const Image<LabPixel> left = unexplained(grey(50), piece);
  for (std::size_t i = 0; i < left.size(); ++i)
    ASSERT_EQ(left[i].l, 0) << i;
}

}  // namespace
}  // namespace powderplan
