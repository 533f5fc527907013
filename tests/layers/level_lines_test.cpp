#include "layers/level_lines.h"

#include <cmath>
#include <numbers>

#include "property.h"

namespace powderplan {
namespace {

constexpr double pi = std::numbers::pi;

template <class Value>
Lattice lattice_of(int columns, int rows, double across, double down, Value&& value) {
  Lattice lattice{Image<float>(columns, rows), across, down};
  for (int row = 0; row < rows; ++row) {
    for (int column = 0; column < columns; ++column)
      lattice.values.at(column, row) = static_cast<float>(value(column * across, row * down));
  }
  return lattice;
}

TEST(LevelLines, AConeHasCircles) {
  holds_always([] {
    const double x0 = any_between(18, 22), y0 = any_between(18, 22), r = any_between(3, 15);
    const Lattice cone = lattice_of(81, 101, 0.5, 0.4,
                                    [&](double x, double y) { return 1 - std::hypot(x - x0, y - y0) / 40; });
    const std::vector<LineMm> lines = level_lines(cone, 1 - r / 40);
    RC_ASSERT(lines.size() == 1U);
    RC_ASSERT(lines[0].front() == lines[0].back());
    for (const PointMm& p : lines[0])
      RC_ASSERT(std::abs(std::hypot(p.x - x0, p.y - y0) - r) < 0.05);
    RC_ASSERT(std::abs(length_of(lines[0]) - 2 * pi * r) < 0.02 * 2 * pi * r);
  });
}

TEST(LevelLines, ASlopeHasOneStraightLineFromEdgeToEdge) {
  const Lattice slope = lattice_of(11, 6, 2, 3, [](double x, double) { return x / 20; });
  const std::vector<LineMm> lines = level_lines(slope, 0.33);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_NEAR(length_of(lines[0]), 15, 1e-4);
  for (const PointMm& p : lines[0])
    EXPECT_NEAR(p.x, 6.6, 1e-4);
  EXPECT_EQ(std::min(lines[0].front().y, lines[0].back().y), 0);
}

TEST(LevelLines, BeyondTheValuesThereIsNone) {
  const Lattice even = lattice_of(5, 5, 1, 1, [](double, double) { return 0.5; });
  EXPECT_TRUE(level_lines(even, 0.6).empty());
  EXPECT_TRUE(level_lines(even, 0.4).empty());
  EXPECT_TRUE(level_lines(lattice_of(1, 5, 1, 1, [](double, double y) { return y; }), 2.5).empty());
}

// Every line either closes or ends on the lattice's edge, whatever the field; two that meet at a saddle do
// not lose a part.
TEST(LevelLines, NoLineEndsInside) {
  holds_always([] {
    const int columns = *rc::gen::inRange(2, 9), rows = *rc::gen::inRange(2, 9);
    Lattice field{Image<float>(columns, rows), 1, 1};
    for (std::size_t i = 0; i < field.values.size(); ++i)
      field.values[i] = static_cast<float>(*rc::gen::inRange(0, 10));
    std::size_t crossed = 0, passed = 0;
    const auto high = [&](int c, int r) { return field.values.at(c, r) >= 4.5F; };
    for (int r = 0; r < rows; ++r) {
      for (int c = 0; c < columns; ++c) {
        crossed += c + 1 < columns && high(c, r) != high(c + 1, r) ? 1U : 0U;
        crossed += r + 1 < rows && high(c, r) != high(c, r + 1) ? 1U : 0U;
      }
    }
    for (const LineMm& line : level_lines(field, 4.5)) {
      const bool closed = line.front() == line.back();
      passed += line.size() - (closed ? 1 : 0);
      const auto on_edge = [&](PointMm p) {
        return p.x == 0 || p.y == 0 || p.x == columns - 1 || p.y == rows - 1;
      };
      RC_ASSERT(closed || (on_edge(line.front()) && on_edge(line.back())));
    }
    RC_ASSERT(passed == crossed);
  });
}

TEST(LevelLines, FewPointsStayNearTheLine) {
  LineMm circle;
  for (int i = 0; i < 720; ++i)
    circle.push_back({20 + 12 * std::cos(i * pi / 360), 20 + 12 * std::sin(i * pi / 360)});
  circle.push_back(circle.front());
  const LineMm few = with_few_points(circle, 0.15);
  EXPECT_LT(few.size(), 60U);
  EXPECT_EQ(few.front(), few.back());
  for (std::size_t i = 1; i < few.size(); ++i) {
    const double off = std::hypot((few[i].x + few[i - 1].x) / 2 - 20, (few[i].y + few[i - 1].y) / 2 - 20);
    EXPECT_NEAR(off, 12, 0.16);
  }
}

}  // namespace
}  // namespace powderplan
