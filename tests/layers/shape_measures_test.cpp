#include "layers/shape_measures.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>

#include "property.h"
#include "stencils.h"

namespace powderplan {
namespace {

TEST(ShapeMeasures, ARectangle) {
  const PolygonMm shape = fixture::box_shape(10, 20, 14, 23);
  EXPECT_DOUBLE_EQ(signed_area(shape), 12);  // clockwise as seen
  EXPECT_DOUBLE_EQ(length_mm(shape), 14);
  EXPECT_DOUBLE_EQ(centre_of(shape).x, 12);
  EXPECT_DOUBLE_EQ(centre_of(shape).y, 21.5);
  const PolygonMm back(shape.rbegin(), shape.rend());
  EXPECT_DOUBLE_EQ(signed_area(back), -12);
  EXPECT_DOUBLE_EQ(centre_of(back).x, 12);
}

TEST(ShapeMeasures, AnLHasItsMiddleWhereItsTwoPartsBalance) {
  // 2 x 6 with its middle at (1, 3), and 4 x 2 with its middle at (4, 5): 12 and 8 of 20.
  const PolygonMm shape{{0, 0}, {2, 0}, {2, 4}, {6, 4}, {6, 6}, {0, 6}};
  EXPECT_DOUBLE_EQ(signed_area(shape), 20);
  EXPECT_NEAR(centre_of(shape).x, (12 * 1 + 8 * 4) / 20.0, 1e-12);
  EXPECT_NEAR(centre_of(shape).y, (12 * 3 + 8 * 5) / 20.0, 1e-12);
}

TEST(ShapeMeasures, ACircleOfManyPoints) {
  const PolygonMm shape = fixture::lobed({300, 200}, 10, 1, 0, 0, 0, 2000);
  EXPECT_NEAR(signed_area(shape), std::numbers::pi * 100, 1e-3);
  EXPECT_NEAR(length_mm(shape), 2 * std::numbers::pi * 10, 1e-4);
  EXPECT_NEAR(centre_of(shape).x, 300, 1e-9);
}

TEST(ShapeMeasures, ShapesWithoutAreaHaveTheMeanOfTheirPoints) {
  EXPECT_EQ(centre_of({{3, 4}}), (PointMm{3, 4}));
  EXPECT_EQ(centre_of({{0, 0}, {4, 2}}), (PointMm{2, 1}));
}

TEST(ShapeMeasures, AWayMeetsABoxThatItCrossesTouchesOrLiesIn) {
  const BoxMm box{0, 0, 10, 5};
  EXPECT_TRUE(meets({-5, 2}, {15, 2}, box));
  EXPECT_TRUE(meets({1, 1}, {2, 2}, box));
  EXPECT_TRUE(meets({3, 3}, {3, 3}, box));
  EXPECT_TRUE(meets({-5, 5}, {15, 5}, box));
  EXPECT_TRUE(meets({-2, 2}, {2, -2}, box));
  EXPECT_FALSE(meets({-2, 1.9}, {1.9, -2}, box));
  EXPECT_FALSE(meets({-5, 6}, {15, 6}, box));
  EXPECT_FALSE(meets({11, 2}, {15, 2}, box));
  EXPECT_FALSE(meets({12, 3}, {12, 3}, box));
}

// Judge: points along the way, one of which must lie in the box, or none in a box a little smaller.
TEST(ShapeMeasures, WaysAndBoxesAgreeWithPointsAlongTheWay) {
  holds_always([] {
    const BoxMm box{0, 0, any_between(0.5, 10), any_between(0.5, 10)};
    const PointMm a{any_between(-8, 18), any_between(-8, 18)}, b{any_between(-8, 18), any_between(-8, 18)};
    const auto a_point_in = [&](double grow) {
      constexpr int steps = 4000;
      for (int k = 0; k <= steps; ++k) {
        const double t = static_cast<double>(k) / steps, x = a.x + t * (b.x - a.x), y = a.y + t * (b.y - a.y);
        if (x >= -grow && y >= -grow && x <= box.right + grow && y <= box.bottom + grow)
          return true;
      }
      return false;
    };
    if (meets(a, b, box))
      RC_ASSERT(a_point_in(0.02));
    else
      RC_ASSERT(!a_point_in(-0.02));
  });
}

}  // namespace
}  // namespace powderplan
