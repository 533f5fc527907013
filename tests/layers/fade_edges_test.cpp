#include "layers/fade_edges.h"

#include <gtest/gtest.h>

#include "fades.h"

namespace powderplan {
namespace {

using namespace trial_fade;

// A shaded ball: full at the lower right, thin at the upper left.
TEST(FadeEdges, NamesTheCrispSide) {
  const auto ball = [](double x, double y) { return std::hypot(x - 60, y - 40) < 30; };
  const Laid shaded = bounded_fade([](double x, double y) { return 0.5 + ((x - 60) + (y - 40)) / 60; }, ball);
  ASSERT_TRUE(shaded.bench.edges.has_value());
  const FadeEdges& edges = *shaded.bench.edges;
  EXPECT_GT(edges.at(EdgeSide::right).crisp_share(), 0.8);
  EXPECT_GT(edges.at(EdgeSide::bottom).crisp_share(), 0.8);
  EXPECT_LT(edges.at(EdgeSide::left).crisp_share(), 0.2);
  EXPECT_LT(edges.at(EdgeSide::top).crisp_share(), 0.2);
  EXPECT_NEAR(edges.crisp_share, 0.5, 0.02);
  // Its outline seen from a side is as long as the ball is wide.
  for (const EdgeSide side : all_edge_sides)
    EXPECT_NEAR(edges.at(side).length_mm, 60, 1) << name_of(side);
  EXPECT_EQ(shaded.bench.way.course, FadeCourse::one_way);
  EXPECT_LT(shaded.bench.way.towards.x, -0.6);
  EXPECT_LT(shaded.bench.way.towards.y, -0.6);
}

TEST(FadeEdges, GrowthTowardsAnEdgeIsTheSlope) {
  const Laid laid = bounded_fade([](double x, double) { return 0.1 + 0.8 * x / 120; },
                                 [](double x, double y) { return x > 20 && x < 100 && y > 20 && y < 60; });
  const FadeEdges& edges = *laid.bench.edges;
  const double full = laid.bench.full / load;
  EXPECT_NEAR(edges.at(EdgeSide::right).rise_per_mm, 0.8 / 120 / full, 1e-4);
  EXPECT_NEAR(edges.at(EdgeSide::left).rise_per_mm, -0.8 / 120 / full, 1e-4);
  EXPECT_NEAR(edges.at(EdgeSide::top).rise_per_mm, 0, 1e-4);
  EXPECT_NEAR(edges.at(EdgeSide::right).amount, (0.1 + 0.8 * 100 / 120) / full, 0.005);
  const double half_at = (full / 2 - 0.1) * 120 / 0.8;
  EXPECT_NEAR(edges.at(EdgeSide::bottom).crisp_mm, 100 - half_at, 0.6);
}

TEST(FadeEdges, ThePiecesOwnEdgeIsNoTemplate) {
  const Laid laid = bounded_fade([](double, double) { return 0.8; }, [](double x, double) { return x < 60; });
  EXPECT_EQ(laid.bench.edges->at(EdgeSide::left).length_mm, 0);
  EXPECT_EQ(laid.bench.edges->at(EdgeSide::top).length_mm, 0);
  EXPECT_NEAR(laid.bench.edges->at(EdgeSide::right).length_mm, 80, 1e-9);
}

}  // namespace
}  // namespace powderplan
