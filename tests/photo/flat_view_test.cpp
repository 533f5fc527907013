#include "photo/flat_view.h"

#include <gtest/gtest.h>

#include <cmath>

#include "property.h"

namespace powderplan {
namespace {

// Four corners that never fold over: each stays in its own quarter.
struct Four {
  std::array<PointMm, 4> card{{{0, 0}, {200, 0}, {200, 120}, {0, 120}}};
  std::array<PhotoPoint, 4> photo;
};
Four any_four() {
  Four four;
  const auto near = [](double x, double y) {
    return PhotoPoint{x + any_between(-150, 150), y + any_between(-100, 100)};
  };
  four.photo = {near(300, 200), near(900, 200), near(900, 600), near(300, 600)};
  return four;
}

TEST(FlatView, TakesTheFourPointsToTheirPlaces) {
  holds_always([] {
    const Four four = any_four();
    const FlatView view(four.card, four.photo);
    for (std::size_t i = 0; i < 4; ++i) {
      const PhotoPoint at = view.at(four.card[i]);
      RC_ASSERT(std::hypot(at.x - four.photo[i].x, at.y - four.photo[i].y) < 1e-7);
    }
  });
}

TEST(FlatView, KeepsLinesStraight) {
  holds_always([] {
    const FlatView view(any_four().card, any_four().photo);
    const PointMm one{any_between(0, 200), any_between(0, 120)},
        two{any_between(0, 200), any_between(0, 120)};
    const double share = any_between(0, 1);
    const PhotoPoint a = view.at(one), b = view.at(two);
    const PhotoPoint c = view.at({one.x + share * (two.x - one.x), one.y + share * (two.y - one.y)});
    const double length = std::hypot(b.x - a.x, b.y - a.y);
    RC_PRE(length > 1);
    RC_ASSERT(std::abs((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)) / length < 1e-6);
  });
}

TEST(FlatView, SlopeIsTheLimitOfSmallSteps) {
  holds_always([] {
    const Four four = any_four();
    const FlatView view(four.card, four.photo);
    const PointMm p{any_between(0, 200), any_between(0, 120)};
    const Slope slope = view.slope_at(p);
    constexpr double h = 1e-4;
    const PhotoPoint right = view.at({p.x + h, p.y}), left = view.at({p.x - h, p.y});
    const PhotoPoint down = view.at({p.x, p.y + h}), up = view.at({p.x, p.y - h});
    RC_ASSERT(std::abs(slope[0][0] - (right.x - left.x) / (2 * h)) < 1e-3);
    RC_ASSERT(std::abs(slope[1][0] - (right.y - left.y) / (2 * h)) < 1e-3);
    RC_ASSERT(std::abs(slope[0][1] - (down.x - up.x) / (2 * h)) < 1e-3);
    RC_ASSERT(std::abs(slope[1][1] - (down.y - up.y) / (2 * h)) < 1e-3);
  });
}

TEST(FlatView, ForeshorteningTellsTheAngle) {
  // Four pixels a millimetre, one axis foreshortened by the cosine of 40 degrees, turned by 25.
  const double c = std::cos(25 * M_PI / 180), s = std::sin(25 * M_PI / 180), f = std::cos(40 * M_PI / 180);
  const Slope slope{{{4 * c, -4 * f * s}, {4 * s, 4 * f * c}}};
  EXPECT_NEAR(pixels_per_mm(slope)[0], 4, 1e-12);
  EXPECT_NEAR(pixels_per_mm(slope)[1], 4 * f, 1e-12);
  EXPECT_NEAR(degrees_off_square(slope), 40, 1e-9);
}

}  // namespace
}  // namespace powderplan
