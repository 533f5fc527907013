// Lines parted by panels: nothing is lost, nothing reaches beyond, and pieces meet at the joins.
#include "layers/panel_lines.h"

#include <cmath>

#include "property.h"

namespace powderplan {
namespace {

double length_of(const LinePath& path) {
  double length = 0;
  for (std::size_t i = 0; i + 1 < path.points.size(); ++i)
    length += std::hypot(path.points[i + 1].x - path.points[i].x, path.points[i + 1].y - path.points[i].y);
  return length;
}

TEST(PanelLines, TogetherAreAsLongAsTheWholeAndEachLiesInItsPanel) {
  holds_always([] {
    LinePlan whole;
    double all = 0;
    for (int p = any_whole(0, 4); p > 0; --p) {
      LinePath path;
      for (int i = any_whole(2, 8); i > 0; --i) {
        path.points.push_back({any_between(0, 100), any_between(0, 80)});
        path.width_mm.push_back(any_between(0.5, 4));
      }
      path.length_mm = length_of(path);
      all += path.length_mm;
      whole.paths.push_back(path);
    }
    const double x = any_between(10, 90), y = any_between(10, 70);
    double parts = 0;
    for (const BoxMm& panel : {BoxMm{0, 0, x, 80}, BoxMm{x, 0, 100, y}, BoxMm{x, y, 100, 80}}) {
      const LinePlan part = lines_in(whole, panel);
      for (const LinePath& path : part.paths) {
        RC_ASSERT(path.points.size() >= 2U);
        RC_ASSERT(path.width_mm.size() == path.points.size());
        RC_ASSERT(std::abs(length_of(path) - path.length_mm) < 1e-9);
        for (std::size_t i = 0; i < path.points.size(); ++i) {
          RC_ASSERT(path.points[i].x > -1e-9 && path.points[i].x < panel.right - panel.left + 1e-9);
          RC_ASSERT(path.points[i].y > -1e-9 && path.points[i].y < panel.bottom - panel.top + 1e-9);
          RC_ASSERT(path.width_mm[i] >= 0.5 - 1e-9 && path.width_mm[i] <= 4 + 1e-9);
        }
      }
      parts += part.length_mm;
    }
    RC_ASSERT(std::abs(parts - all) < 1e-6);
  });
}

TEST(PanelLines, ALineThatLeavesAndComesBackIsTwoWithTheWidthsItHasAtTheJoin) {
  LinePlan whole;
  whole.paths = {{{{10, 10}, {30, 10}, {30, 20}, {10, 20}}, {1, 3, 3, 1}, 50}};
  const LinePlan left = lines_in(whole, {0, 0, 20, 40});
  ASSERT_EQ(left.paths.size(), 2U);
  EXPECT_EQ(left.paths[0].points, (LineMm{{10, 10}, {20, 10}}));
  EXPECT_EQ(left.paths[0].width_mm, (std::vector<double>{1, 2}));
  EXPECT_EQ(left.paths[1].points, (LineMm{{20, 20}, {10, 20}}));
  EXPECT_EQ(left.travel_mm, 10);
  const LinePlan right = lines_in(whole, {20, 0, 40, 40});
  ASSERT_EQ(right.paths.size(), 1U);
  EXPECT_EQ(right.paths[0].points, (LineMm{{0, 10}, {10, 10}, {10, 20}, {0, 20}}));
  EXPECT_EQ(left.length_mm + right.length_mm, 50);
  EXPECT_TRUE(lines_in(whole, {40, 0, 60, 40}).paths.empty());
}

}  // namespace
}  // namespace powderplan
