#include "layers/stencil_effort.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "property.h"
#include "stencils.h"

namespace powderplan {
namespace {

PolygonMm star(int tips, double outer, double inner) {
  PolygonMm shape;
  for (int i = 0; i < 2 * tips; ++i) {
    const double angle = std::numbers::pi * i / tips, r = i % 2 == 0 ? outer : inner;
    shape.push_back({50 + r * std::cos(angle), 50 + r * std::sin(angle)});
  }
  return shape;
}

// A square whose corners are arcs of this radius, each of eight edges.
PolygonMm rounded_square(double side, double radius) {
  PolygonMm shape;
  for (int corner = 0; corner < 4; ++corner) {
    const double turn = corner * std::numbers::pi / 2;
    for (int k = 0; k <= 8; ++k) {
      const double angle = turn + k * std::numbers::pi / 16;
      const double mx = side / 2 - radius, px = (corner == 0 || corner == 3 ? mx : -mx),
                   py = (corner < 2 ? mx : -mx);
      shape.push_back({px + radius * std::cos(angle), py + radius * std::sin(angle)});
    }
  }
  return shape;
}

TEST(StencilEffort, CornersAreWhereTheBladeStops) {
  EXPECT_EQ(corners_of(fixture::box_shape(0, 0, 30, 20)), 4U);
  EXPECT_EQ(corners_of(star(5, 20, 9)), 10U);
  EXPECT_EQ(corners_of(rounded_square(20, 0.3)), 4U);
  EXPECT_EQ(corners_of(rounded_square(20, 5)), 0U);
  EXPECT_EQ(corners_of(fixture::lobed({50, 50}, 20, 1, 0)), 0U);
  EXPECT_GE(corners_of(fixture::lobed({50, 50}, 0.6, 1, 0)), 3U);
  EXPECT_EQ(corners_of({}), 0U);
  EXPECT_EQ(corners_of({{0, 0}, {1, 1}}), 0U);
  EXPECT_EQ(corners_of({{0, 0}, {0, 0}, {0, 0}, {0, 0}}), 0U);
}

TEST(StencilEffort, CornersDoNotDependOnWhereTheOutlineBeginsOrItsDirection) {
  holds_always([] {
    PolygonMm shape = star(any_whole(3, 9), any_between(10, 30), any_between(3, 9));
    const std::size_t corners = corners_of(shape);
    std::rotate(shape.begin(), shape.begin() + any_whole(0, static_cast<int>(shape.size()) - 1), shape.end());
    RC_ASSERT(corners_of(shape) == corners);
    std::reverse(shape.begin(), shape.end());
    RC_ASSERT(corners_of(shape) == corners);
  });
}

TEST(StencilEffort, AddsUpByHand) {
  Stencil stencil = fixture::sheet(100, 80);
  stencil.openings = {fixture::box_shape(0, 0, 30, 20), fixture::box_shape(50, 10, 75, 35)};
  stencil.bridges = {{.middle = {{40, 0}, {40, 20}}, .error_cm2 = 1}};
  const SheetStock card{"card", Millimetres(0.4), 3, 750, Millimetres(1.5), 2};
  const StencilEffort effort = stencil_effort(
      stencil, card, {.mm_per_minute = 100, .seconds_per_opening = 9, .seconds_per_corner = 3});
  EXPECT_EQ(effort.openings, 2U);
  EXPECT_EQ(effort.bridges, 1U);
  EXPECT_EQ(effort.corners, 8U);
  EXPECT_DOUBLE_EQ(effort.cut.value(), 200);
  // Two passes of 2 minutes of line and 8 x 3 seconds of corners, then 2 x 9 seconds of openings.
  EXPECT_NEAR(effort.minutes, 2 * (2 + 0.4) + 0.3, 1e-12);
}

TEST(StencilEffort, NothingToCutTakesNoTime) {
  const StencilEffort effort = stencil_effort(fixture::sheet(100, 80), sheet_stocks()[0]);
  EXPECT_EQ(effort.openings, 0U);
  EXPECT_DOUBLE_EQ(effort.cut.value(), 0);
  EXPECT_DOUBLE_EQ(effort.minutes, 0);
}

}  // namespace
}  // namespace powderplan
