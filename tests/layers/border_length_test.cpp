// Lengths against closed forms: straight lines at many angles, circles, corners, nothing.
#include "layers/border_length.h"

#include <cmath>
#include <numbers>

#include "property.h"

namespace powderplan {
namespace {

constexpr Millimetres pitch{0.25};

struct Regions {
  Image<std::uint8_t> one, other;
};

// `which(x, y)` in points, from the middle of each: 1, 2 or neither.
template <class Which>
Regions regions(int width, int height, Which&& which) {
  Regions made{Image<std::uint8_t>(width, height), Image<std::uint8_t>(width, height)};
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const int region = which(x + 0.5, y + 0.5);
      made.one.at(x, y) = region == 1 ? 1 : 0;
      made.other.at(x, y) = region == 2 ? 1 : 0;
    }
  }
  return made;
}

double length_of(const Regions& made) {
  return common_border(made.one, made.other, pitch).length.value();
}

TEST(CommonBorder, OfAStraightLineDoesNotDependOnItsAngle) {
  // Through the middle of a disc of this radius, outside which there is neither.
  const double radius = 150;
  double shortest = 1e9, longest = 0;
  for (const double degrees :
       {0.0, 5.0, 11.3, 22.5, 30.0, 37.0, 45.0, 60.0, 71.6, 90.0, 112.0, 135.0, 167.0}) {
    const double angle = degrees * std::numbers::pi / 180;
    const double length = length_of(regions(320, 320, [&](double x, double y) {
      const double u = x - 160.2, v = y - 159.7;
      if (std::hypot(u, v) > radius)
        return 0;
      return u * std::sin(angle) - v * std::cos(angle) > 0 ? 1 : 2;
    }));
    EXPECT_NEAR(length, 2 * radius * pitch.value(), border_length_error * 2 * radius * pitch.value())
        << degrees;
    shortest = std::min(shortest, length);
    longest = std::max(longest, length);
  }
  // Counting sides alone would make the diagonal 41 % longer than the upright.
  EXPECT_LT(longest / shortest, 1.02);
}

TEST(CommonBorder, OfACircle) {
  for (const double radius : {12.0, 25.0, 80.3}) {
    const int size = static_cast<int>(2 * radius) + 40;
    const double length = length_of(regions(size, size, [&](double x, double y) {
      return std::hypot(x - size / 2.0 - 0.3, y - size / 2.0 + 0.1) < radius ? 1 : 2;
    }));
    const double exact = 2 * std::numbers::pi * radius * pitch.value();
    EXPECT_NEAR(length, exact, border_length_error * exact) << radius;
  }
}

TEST(CommonBorder, OfANarrowStripCountsBothSides) {
  // 8 points wide, at a slant, in a field of the other.
  const double length = length_of(regions(300, 300, [](double x, double y) {
    const double along = (x - 150) * 0.8 + (y - 150) * 0.6, across = (y - 150) * 0.8 - (x - 150) * 0.6;
    return std::abs(across) < 4 && std::abs(along) < 100 ? 1 : 2;
  }));
  const double exact = (2 * 200 + 2 * 8) * pitch.value();
  EXPECT_NEAR(length, exact, border_length_error * exact);
}

TEST(CommonBorder, IsNothingAcrossAGap) {
  const Regions apart = regions(40, 30, [](double x, double) { return x < 20 ? 1 : x < 21 ? 0 : 2; });
  const CommonBorder border = common_border(apart.one, apart.other, pitch);
  EXPECT_EQ(border.length, Millimetres(0));
  EXPECT_EQ(std::count(border.points.data(), border.points.data() + border.points.size(), 0), 1200);
}

TEST(CommonBorder, MarksThePointsOnBothSides) {
  const Regions halves = regions(40, 30, [](double x, double) { return x < 20 ? 1 : 2; });
  const CommonBorder border = common_border(halves.one, halves.other, pitch);
  EXPECT_NEAR(border.length.value(), 30 * pitch.value(), 1e-4);
  for (int x = 0; x < 40; ++x)
    EXPECT_EQ(border.points.at(x, 7), x == 19 || x == 20 ? 1 : 0) << x;
}

TEST(CommonBorder, IsTheSameSeenFromEitherSide) {
  holds_always([] {
    const double a = any_between(-0.3, 0.3), b = any_between(-0.3, 0.3), c = any_between(5, 15);
    const Regions made = regions(24, 20, [&](double x, double y) {
      return y < c + a * x + b * x * std::sin(y) ? 1 : std::fmod(x, 7) < 6 ? 2 : 0;
    });
    const CommonBorder there = common_border(made.one, made.other, pitch);
    const CommonBorder back = common_border(made.other, made.one, pitch);
    RC_ASSERT(std::abs(there.length.value() - back.length.value()) < 1e-9);
  });
}

TEST(CommonBorder, OfTheSmallestMaps) {
  for (const auto& [width, height] : {std::pair{0, 0}, {1, 1}, {1, 5}, {5, 1}}) {
    const Image<std::uint8_t> none(width, height), all(width, height, 1);
    EXPECT_EQ(common_border(none, none, pitch).length, Millimetres(0));
    EXPECT_EQ(common_border(all, none, pitch).length, Millimetres(0));
  }
  const Regions two = regions(2, 1, [](double x, double) { return x < 1 ? 1 : 2; });
  EXPECT_NEAR(length_of(two), pitch.value(), 1e-6);
}

}  // namespace
}  // namespace powderplan
