#include "layers/line_paths.h"

#include <numbers>
#include <numeric>

#include "line_drawing.h"
#include "masks.h"
#include "separation/strokes.h"

namespace powderplan {
namespace {

constexpr double pitch = 0.25;

struct Traced {
  Target target;
  LinePlan plan;
};

Traced traced(const cv::Mat& sheet, double per_mm) {
  Traced result;
  result.target = target_from(sheet, per_mm, pitch);
  const StrokeMap map = find_strokes(result.target, {});
  result.plan = trace_lines(strokes_of_kind(map, 1), map.cover, result.target.grid, {});
  return result;
}

std::vector<TrueStroke> fan(double width) {
  std::vector<TrueStroke> strokes;
  for (int i = 0; i < 8; ++i) {
    const double a = i * std::numbers::pi / 8 + 0.03;
    strokes.push_back(
        {{{50 + 6 * std::cos(a), 40 + 10 * std::sin(a)}, {50 + 38 * std::cos(a), 40 + 36 * std::sin(a)}},
         width});
  }
  strokes.push_back({arc({25, 25}, 15, 10, 0, 360), width});
  strokes.push_back({arc({22, 60}, 12, 12, 20, 200), width});
  return strokes;
}

std::vector<TrueStroke> crossings() {
  return {{{{10, 10}, {90, 15}}, 1},
          {{{15, 5}, {85, 70}}, 1},
          {{{10, 40}, {90, 45}}, 1.5},
          {{{40, 20}, {38, 70}}, 0.75},
          {{{60, 20}, {64, 45}}, 1},
          {{{10, 20}, {90, 30}}, 1},
          {{{20, 60}, {70, 64}, {75, 50}, {90, 60}, {80, 75}}, 1.25}};
}

void expect_near(const std::vector<TrueStroke>& strokes, double per_mm, bool exactly) {
  cv::Mat sheet = sheet_of_paper(100, 85, per_mm);
  if (exactly)
    draw_exactly(sheet, strokes, per_mm);
  else
    draw(sheet, strokes, per_mm);
  const Traced result = traced(sheet, per_mm);
  const Nearness near = nearness(strokes, result.plan);
  EXPECT_GE(near.found, 0.95) << per_mm << ' ' << strokes[0].width_mm;
  EXPECT_LE(near.astray, 0.02) << per_mm << ' ' << strokes[0].width_mm;
  if (exactly) {
    EXPECT_GE(near.right_width, 0.95) << per_mm << ' ' << strokes[0].width_mm;
  }
}

TEST(TraceLines, LinesAndCurvesOfAllWidths) {
  for (const double per_mm : {4.0, 8.0}) {
    for (const double width : {0.25, 0.5, 1.0, 1.5, 1.875})
      expect_near(fan(width), per_mm, true);
  }
  // Half as fine as the grid: the widths of lines thinner than a pixel cannot be known.
  for (const double width : {1.0, 1.5})
    expect_near(fan(width), 2, true);
}

TEST(TraceLines, LinesDrawnByOpenCv) {
  for (const double per_mm : {4.0, 8.0, 16.0})
    expect_near(fan(1), per_mm, false);
  expect_near(crossings(), 8, false);
}

TEST(TraceLines, CrossingsGoStraightOn) {
  const std::vector<TrueStroke> strokes = crossings();
  for (const double per_mm : {4.0, 8.0, 16.0}) {
    expect_near(strokes, per_mm, true);
    cv::Mat sheet = sheet_of_paper(100, 85, per_mm);
    draw_exactly(sheet, strokes, per_mm);
    EXPECT_EQ(traced(sheet, per_mm).plan.paths.size(), strokes.size()) << per_mm;
  }
}

// Lines that run into each other at a few degrees become one wide line in their middle: each drawing is
// covered, and all together are found within half a millimetre.
TEST(TraceLines, ManyPolylines) {
  double found = 0, cases = 0;
  holds_always(
      [&] {
        std::vector<TrueStroke> strokes;
        for (int i = any_whole(1, 5); i > 0; --i) {
          TrueStroke stroke;
          stroke.width_mm = any_between(0.5, 1.6);
          for (int k = any_whole(2, 4); k > 0; --k)
            stroke.points.push_back({any_between(5, 75), any_between(5, 55)});
          double length = 0;
          for (std::size_t k = 1; k < stroke.points.size(); ++k)
            length += std::hypot(stroke.points[k].x - stroke.points[k - 1].x,
                                 stroke.points[k].y - stroke.points[k - 1].y);
          if (length > 15)
            strokes.push_back(stroke);
        }
        if (strokes.empty())
          return;
        cv::Mat sheet = sheet_of_paper(80, 60, 4);
        draw_exactly(sheet, strokes, 4);
        const Nearness near = nearness(strokes, traced(sheet, 4).plan);
        RC_ASSERT(near.covered >= 0.95);
        RC_ASSERT(near.astray <= 0.02);
        found += near.found;
        ++cases;
      },
      60);
  EXPECT_GE(found / cases, 0.95);
}

// A line that swells and thins: wide where it is wide, and one path.
TEST(TraceLines, WidthsFollowTheStroke) {
  cv::Mat sheet = sheet_of_paper(80, 30, 8);
  const auto width_at = [](double x) { return 1.1 + 0.6 * std::sin(x / 8); };
  std::vector<TrueStroke> pieces;
  for (int i = 0; i < 4 * 60; ++i) {
    const double x = 10 + 0.25 * i;
    pieces.push_back({{{x, 15}, {x + 0.25, 15}}, width_at(x)});
  }
  draw_exactly(sheet, pieces, 8);
  const LinePlan plan = traced(sheet, 8).plan;
  ASSERT_EQ(plan.paths.size(), 1u);
  along(plan.paths[0].points, [&](const PointMm& p, std::size_t i, double share, double) {
    const std::vector<double>& widths = plan.paths[0].width_mm;
    const double width = widths[i - 1] + share * (widths[i] - widths[i - 1]), wanted = width_at(p.x);
    if (p.x > 12 && p.x < 68) {
      EXPECT_NEAR(width, wanted, std::max(0.15, 0.2 * wanted)) << p.x;
    }
  });
}

Image<std::uint8_t> mask_with(int width, int height, const std::vector<std::pair<int, int>>& points) {
  Image<std::uint8_t> mask(width, height);
  for (const auto& [x, y] : points)
    mask.at(x, y) = 1;
  return mask;
}

TEST(TraceLines, EmptyFullAndTinyMasks) {
  EXPECT_TRUE(trace_lines({}, Grid{Millimetres(pitch), 0, 0}, {}).paths.empty());
  for (const auto& [width, height] : {std::pair{1, 1}, {1, 9}, {9, 1}, {2, 2}, {3, 3}, {40, 3}, {60, 60}}) {
    const Grid grid{Millimetres(pitch), width, height};
    EXPECT_TRUE(trace_lines(Image<std::uint8_t>(width, height), grid, {}).paths.empty());
    const LinePlan plan = trace_lines(Image<std::uint8_t>(width, height, 1), grid, {});
    ASSERT_FALSE(plan.paths.empty()) << width << ' ' << height;
    for (const LinePath& path : plan.paths) {
      ASSERT_GE(path.points.size(), 2u);
      for (const PointMm& p : path.points) {
        EXPECT_TRUE(std::isfinite(p.x) && std::isfinite(p.y));
        EXPECT_GE(p.x, -0.01);
        EXPECT_LE(p.x, width * pitch + 0.01);
      }
    }
  }
  const LinePlan dot = trace_lines(mask_with(9, 9, {{4, 4}}), Grid{Millimetres(pitch), 9, 9}, {});
  ASSERT_EQ(dot.paths.size(), 1u);
  EXPECT_NEAR(dot.paths[0].points[0].x, 4.5 * pitch, 0.05);
}

TEST(TraceLines, AnyMaskGivesSoundPaths) {
  holds_always([] {
    const cv::Mat mask = any_mask(50);
    Image<std::uint8_t> strokes(mask.cols, mask.rows);
    for (std::size_t i = 0; i < strokes.size(); ++i)
      strokes[i] = mask.data[i];
    const Grid grid{Millimetres(pitch), mask.cols, mask.rows};
    const LinePlan plan = trace_lines(strokes, grid, {});
    double length = 0, travel = 0;
    for (std::size_t i = 0; i < plan.paths.size(); ++i) {
      const LinePath& path = plan.paths[i];
      RC_ASSERT(path.points.size() >= 2);
      RC_ASSERT(path.points.size() == path.width_mm.size());
      double own = 0;
      for (std::size_t k = 0; k < path.points.size(); ++k) {
        RC_ASSERT(std::isfinite(path.points[k].x) && std::isfinite(path.points[k].y));
        RC_ASSERT(path.width_mm[k] >= 0 && path.width_mm[k] < 40);
        if (k > 0)
          own += std::hypot(path.points[k].x - path.points[k - 1].x, path.points[k].y - path.points[k - 1].y);
      }
      RC_ASSERT(std::abs(own - path.length_mm) < 1e-9);
      length += own;
      if (i > 0)
        travel += std::hypot(path.points.front().x - plan.paths[i - 1].points.back().x,
                             path.points.front().y - plan.paths[i - 1].points.back().y);
    }
    RC_ASSERT(std::abs(length - plan.length_mm) < 1e-6);
    RC_ASSERT(std::abs(travel - plan.travel_mm) < 1e-6);
    // Every part of the mask has a path.
    RC_ASSERT(plan.paths.empty() == (cv::countNonZero(mask) == 0));
  });
}

// A comb: teeth side by side are drawn up and down in turn, which is the least travel there is.
TEST(TraceLines, OrderSparesTravel) {
  std::vector<TrueStroke> teeth;
  for (int i = 0; i < 12; ++i)
    teeth.push_back({{{10.0 + 5 * ((i * 5) % 12), 10}, {10.0 + 5 * ((i * 5) % 12), 50}}, 1});
  cv::Mat sheet = sheet_of_paper(80, 60, 4);
  draw_exactly(sheet, teeth, 4);
  const LinePlan plan = traced(sheet, 4).plan;
  ASSERT_EQ(plan.paths.size(), 12u);
  EXPECT_NEAR(plan.length_mm, 12 * 40, 4);
  EXPECT_NEAR(plan.travel_mm, 11 * 5, 3);
  // From the left to the right, away from the hand.
  EXPECT_LT(plan.paths.front().points[0].x, plan.paths.back().points[0].x);
}

TEST(TraceLines, JoinsAcrossASmallGapAndNotAcrossALargeOne) {
  for (const double gap : {0.8, 4.0}) {
    const std::vector<TrueStroke> strokes{{{{10, 20}, {35, 22}}, 0.75},
                                          {{{35.75 + gap, 22}, {70, 25}}, 0.75}};
    cv::Mat sheet = sheet_of_paper(80, 40, 8);
    draw_exactly(sheet, strokes, 8);
    EXPECT_EQ(traced(sheet, 8).plan.paths.size(), gap < 2 ? 1u : 2u) << gap;
  }
}

double laid_mm2(const LinePlan& plan, const Grid& grid, const LineRules& rules) {
  const Image<std::uint16_t> amount = drawn(plan, grid, rules);
  double sum = 0;
  for (std::size_t i = 0; i < amount.size(); ++i)
    sum += amount[i] / 65535.0;
  return sum * grid.pitch.value() * grid.pitch.value();
}

// A line with round ends covers length times width and a disc.
TEST(Drawn, CoversWhatTheLineCovers) {
  const Grid grid{Millimetres(pitch), 400, 300};
  for (const double width : {0.5, 0.8, 1.3, 2.0, 3.7}) {
    for (const double angle : {0.0, 0.2, std::numbers::pi / 4, 1.1, std::numbers::pi / 2}) {
      LinePlan plan;
      const PointMm from{50.13, 37.41};
      plan.paths.push_back(
          {{from, {from.x + 30 * std::cos(angle), from.y + 30 * std::sin(angle)}}, {width, width}, 30});
      const double area = 30 * width + std::numbers::pi * width * width / 4;
      EXPECT_NEAR(laid_mm2(plan, grid, {}), area, 0.005 * area) << width << ' ' << angle;
    }
  }
}

TEST(Drawn, KeepsToTheLeastAndTheMostWidth) {
  const Grid grid{Millimetres(pitch), 200, 100};
  LineRules rules;
  rules.least_width = Millimetres(0.8);
  rules.most_width = Millimetres(2);
  for (const auto& [width, laid] : {std::pair{0.1, 0.8}, {1.5, 1.5}, {9.0, 2.0}}) {
    LinePlan plan;
    plan.paths.push_back({{{10, 12.1}, {40, 12.1}}, {width, width}, 30});
    const double area = 30 * laid + std::numbers::pi * laid * laid / 4;
    EXPECT_NEAR(laid_mm2(plan, grid, rules), area, 0.005 * area) << width;
  }
}

TEST(Drawn, IsNothingWithoutPathsAndCutOffAtTheEdge) {
  const Grid grid{Millimetres(pitch), 40, 40};
  EXPECT_EQ(laid_mm2({}, grid, {}), 0);
  LinePlan plan;
  plan.paths.push_back({{{-10, 5}, {50, 5}}, {1, 1}, 60});
  EXPECT_NEAR(laid_mm2(plan, grid, {}), 10, 0.1);
}

// What is traced and drawn again covers what was there.
TEST(Drawn, GivesBackTheStrokes) {
  const std::vector<TrueStroke> strokes = crossings();
  cv::Mat sheet = sheet_of_paper(100, 85, 8);
  draw_exactly(sheet, strokes, 8);
  const Traced result = traced(sheet, 8);
  double ink = 0;
  for (int y = 0; y < sheet.rows; ++y) {
    for (int x = 0; x < sheet.cols; ++x)
      ink += (255 - sheet.at<cv::Vec3b>(y, x)[0]) / 255.0 / 64;
  }
  EXPECT_NEAR(laid_mm2(result.plan, result.target.grid, {}), ink, 0.05 * ink);
}

}  // namespace
}  // namespace powderplan
