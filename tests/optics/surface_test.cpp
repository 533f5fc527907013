#include "optics/surface.h"

#include "property.h"

namespace powderplan {
namespace {

Surface any_surface() {
  const double outer = any_between(0, 0.2), inner = any_between(0, 0.7);
  return {outer, inner};
}

TEST(Surface, OfGlassIsFourPercentOutsideAndSixtyInside) {
  EXPECT_DOUBLE_EQ(glass_surface().outer, fresnel_normal(glass_index));
  EXPECT_DOUBLE_EQ(glass_surface().inner, diffuse_reflection_inside(glass_index));
}

TEST(Surface, ReflectsMoreTheDenserTheGlass) {
  for (int hundredths = 101; hundredths < 250; ++hundredths) {
    const double n = hundredths / 100.0;
    EXPECT_LT(fresnel_normal(n), fresnel_normal(n + 0.01));
    EXPECT_LT(diffuse_reflection_outside(n), diffuse_reflection_outside(n + 0.01));
    EXPECT_LT(diffuse_reflection_inside(n), diffuse_reflection_inside(n + 0.01));
  }
}

TEST(SeenThrough, IsUndoneByInternalBehind) {
  holds_always([] {
    const Surface surface = any_surface();
    const double internal = any_between(0, 1), glare = any_between(0, 1);
    RC_ASSERT(std::abs(internal_behind(surface, seen_through(surface, internal, glare), glare) - internal) <
              1e-12);
  });
}

TEST(SeenThrough, RisesWithTheInternalReflectanceAndStaysBelowOne) {
  holds_always([] {
    const Surface surface = any_surface();
    const double internal = any_between(0, 0.99), glare = any_between(0, 1);
    const double seen = seen_through(surface, internal, glare);
    RC_ASSERT(seen >= 0 && seen < 1);
    RC_ASSERT(seen_through(surface, internal + 0.01, glare) > seen);
  });
}

TEST(SeenThrough, OfBlackIsTheGlareAlone) {
  EXPECT_EQ(seen_through(glass_surface(), 0, 0), 0);
  EXPECT_DOUBLE_EQ(seen_through(glass_surface(), 0, 1), 0.04);
}

TEST(SeenThrough, OfAPerfectWhiteIsAllOfTheLight) {
  EXPECT_NEAR(seen_through(glass_surface(), 1, 1), 1, 1e-15);
  EXPECT_NEAR(seen_through(glass_surface(), 1, 0), 0.96, 1e-15);
}

}  // namespace
}  // namespace powderplan
