#include "optics/sintering.h"

#include "property.h"

namespace powderplan {
namespace {

Millimetres any_grain() {
  return Millimetres(any_decade_between(0.005, 2));
}

TEST(Sintering, BeginsWithLoosePowderAndEndsWithSolidGlass) {
  EXPECT_DOUBLE_EQ(relative_density(Millimetres(0), Millimetres(0.1)), loose_density);
  EXPECT_EQ(fused_share(Millimetres(0), Millimetres(0.1)), 0);
  EXPECT_DOUBLE_EQ(fused_share(Millimetres(10), Millimetres(0.1)), 1);
  EXPECT_DOUBLE_EQ(height_left(Millimetres(0), Millimetres(0.1)), 1);
  EXPECT_DOUBLE_EQ(height_left(Millimetres(10), Millimetres(0.1)), loose_density);
}

TEST(Sintering, MoreFlowMakesItDenser) {
  holds_always([] {
    const Millimetres grain = any_grain();
    const Millimetres flow = grain * any_decade_between(1e-4, 2);
    RC_ASSERT(relative_density(flow * 1.01, grain) > relative_density(flow, grain));
    RC_ASSERT(relative_density(flow, grain) < 1);
    RC_ASSERT(height_left(flow, grain) < 1);
  });
}

// Only flow over grain counts.
TEST(Sintering, AFinerGrainNeedsAsMuchLessFlow) {
  holds_always([] {
    const Millimetres grain = any_grain();
    const Millimetres flow = grain * any_decade_between(1e-3, 2);
    const double times = any_decade_between(0.1, 10);
    RC_ASSERT(std::abs(relative_density(flow, grain) - relative_density(flow * times, grain * times)) <
              1e-12);
  });
}

// Where necks hand over to pores neither the density jumps nor its rate.
TEST(Sintering, HandsOverWithoutAJumpOrAKink) {
  const Millimetres grain(0.1);
  const Millimetres at = flow_to_fuse((pores_close_at - loose_density) / (1 - loose_density), grain);
  EXPECT_NEAR(relative_density(at, grain), pores_close_at, 1e-12);
  const Millimetres step = grain * 1e-6;
  const double before = relative_density(at, grain) - relative_density(at - step, grain);
  const double after = relative_density(at + step, grain) - relative_density(at, grain);
  EXPECT_NEAR(after / before, 1, 1e-4);
  EXPECT_NEAR(pore_radius_share(), 0.30, 0.005);
}

TEST(Sintering, TurnsRound) {
  holds_always([] {
    const Millimetres grain = any_grain();
    const double fused = any_between(0, 0.9999);
    RC_ASSERT(std::abs(fused_share(flow_to_fuse(fused, grain), grain) - fused) < 1e-9);
  });
}

}  // namespace
}  // namespace powderplan
