#include "optics/levelling.h"

#include "property.h"

namespace powderplan {
namespace {

TEST(Levelling, TakesFromAllOfItToNothing) {
  holds_always([] {
    const Millimetres wave(any_decade_between(0.01, 20)), depth(any_decade_between(0.01, 20));
    const Millimetres flow(any_decade_between(1e-4, 1));
    for (const auto& left : {relief_left(flow, wave), relief_left(flow, wave, depth)}) {
      RC_ASSERT(left <= 1);
      RC_ASSERT(left >= 0);
    }
    RC_ASSERT(relief_left(flow, wave, depth) >= relief_left(flow, wave) - 1e-12);
    RC_ASSERT(relief_left(flow, wave, depth * 1.1) <= relief_left(flow, wave, depth));
    RC_ASSERT(relief_left(flow, wave * 1.1) > relief_left(flow, wave) - 1e-12);
  });
  EXPECT_EQ(relief_left(Millimetres(0), Millimetres(1)), 1);
}

// Flows add up: their shares multiply.
TEST(Levelling, GoesOnWhereItStopped) {
  holds_always([] {
    const Millimetres wave(any_decade_between(0.1, 20)), depth(any_decade_between(0.1, 20));
    const Millimetres a(any_between(0, 1)), b(any_between(0, 1));
    RC_ASSERT(std::abs(relief_left(a + b, wave, depth) -
                       relief_left(a, wave, depth) * relief_left(b, wave, depth)) < 1e-12);
  });
}

// The series for a film takes over without a jump.
TEST(Levelling, IsSmoothInTheDepth) {
  const double below = depth_factor(0.02499999), above = depth_factor(0.02500001);
  EXPECT_NEAR(above / below, 1, 1e-5);
  EXPECT_NEAR(depth_factor(29.9), 1, 1e-9);
  EXPECT_EQ(depth_factor(500), 1);
}

TEST(Levelling, TurnsRound) {
  holds_always([] {
    const Millimetres wave(any_decade_between(0.01, 20));
    const double left = any_between(0.001, 1);
    RC_ASSERT(std::abs(relief_left(flow_to_level(left, wave), wave) - left) < 1e-12);
  });
}

}  // namespace
}  // namespace powderplan
