#include "report/lit_piece.h"

#include <gtest/gtest.h>

#include <cmath>

#include "report/field_record.h"

namespace powderplan {
namespace {

constexpr Rgb8 grey{110, 110, 110};
constexpr double margin = 10;

// An even grey piece of 60 x 60 mm, ten pixels a mm.
Image<Rgb8> lit(Finish finish, View view) {
  const PlanRecord plan = field_record({{{0, Load(0.3)}}}, finish, 60);
  return lit_piece(plan, moment_finished(plan), view, Image<Rgb8>(600, 600, grey),
                   {margin, margin, margin, margin});
}

double light(const Image<Rgb8>& picture, double x_mm, double y_mm) {
  return to_linear_rgb(
             picture.at(static_cast<int>((x_mm + margin) * 10), static_cast<int>((y_mm + margin) * 10)))
      .g;
}

TEST(LitPiece, HasItsMarginsAround) {
  const PlanRecord plan = field_record({{{0, Load(0.3)}}}, Finish::full, 60);
  const Image<Rgb8> picture =
      lit_piece(plan, moment_finished(plan), View::wall, Image<Rgb8>(600, 600, grey), {1, 2, 3, 4});
  EXPECT_EQ(picture.width(), 640);
  EXPECT_EQ(picture.height(), 660);
}

TEST(LitPiece, KeepsItsColoursInsideTheEdge) {
  const double wanted = to_linear_rgb(grey).g;
  constexpr double code = 0.004;  // half a code of 8 bits, here
  for (const Finish finish : {Finish::tack, Finish::full}) {
    const Image<Rgb8> picture = lit(finish, View::wall);
    for (int i = 0; i < 80; ++i) {
      for (int j = 0; j < 80; ++j) {
        const double x = 2 + 0.7 * j, y = 2 + 0.7 * i;  // from 2 to 57.3 of 60
        ASSERT_GE(light(picture, x, y), wanted - code / 2);
        ASSERT_LE(light(picture, x, y), wanted + most_mirrored + code / 2);
      }
    }
  }
}

TEST(LitPiece, ItsEdgeIsLightTowardsTheLightAndDarkAwayFromIt) {
  const Image<Rgb8> picture = lit(Finish::full, View::wall);
  const double inside = light(picture, 30, 55);
  EXPECT_GT(light(picture, 0.4, 30), 1.15 * inside);
  EXPECT_GT(light(picture, 30, 0.4), 1.15 * inside);
  EXPECT_LT(light(picture, 59.6, 30), 0.85 * inside);
  EXPECT_LT(light(picture, 30, 59.6), 0.85 * inside);
}

TEST(LitPiece, ThrowsItsShadowAwayFromTheLight) {
  const Image<Rgb8> picture = lit(Finish::full, View::wall);
  const double wall = light(picture, -9, -9);
  EXPECT_LT(light(picture, 61.5, 30), 0.8 * wall);
  EXPECT_LT(light(picture, 30, 61.5), 0.8 * wall);
  EXPECT_GT(light(picture, -3, 30), 0.95 * wall);
  EXPECT_GT(light(picture, 30, -3), 0.95 * wall);
  EXPECT_GT(light(picture, 69, 30), 0.9 * wall) << "and not far";
}

TEST(LitPiece, InAWindowItsEdgeGlowsAndNothingIsLighterThanTheLightBehind) {
  const Image<Rgb8> picture = lit(Finish::full, View::window);
  EXPECT_GT(light(picture, 0.2, 30), 1.5 * light(picture, 30, 30));
  EXPECT_NEAR(light(picture, 30, 30), to_linear_rgb(grey).g, 0.003);
  EXPECT_GT(light(picture, -5, 30), 0.9);
  EXPECT_EQ(light(picture, -5, 30), light(picture, 65, 30)) << "no shadow";
}

TEST(LitPiece, HeatRoundsTheEdgeUpToHalfItsThickness) {
  const auto radius = [](Finish finish) {
    const PlanRecord plan = field_record({{{0, Load(0.3)}}}, finish);
    return edge_radius(plan, moment_finished(plan));
  };
  EXPECT_GE(radius(Finish::tack), seamed_edge);
  EXPECT_GT(radius(Finish::full), radius(Finish::contour));
  EXPECT_GT(radius(Finish::full), Millimetres(1.2));
  EXPECT_LE(radius(Finish::full), Millimetres(1.5));
  const PlanRecord plan = field_record({{{0, Load(0.3)}}}, Finish::full);
  EXPECT_EQ(edge_radius(plan, moment_before(plan, 0)), seamed_edge) << "before any heat";
}

}  // namespace
}  // namespace powderplan
