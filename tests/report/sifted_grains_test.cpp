#include "report/sifted_grains.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "finished.h"
#include "optics/grain.h"

namespace powderplan {
namespace {

constexpr Millimetres grain{0.1};

GrainKind kind_of(Finish finish, std::uint64_t seed = 7) {
  return {seed, grain, finished(finish, grain)};
}

std::vector<GrainPoint> laid(const GrainKind& kind, const PointRows& rows, double covers) {
  const std::vector<float> everywhere(static_cast<std::size_t>(rows.width * rows.height),
                                      static_cast<float>(covers));
  std::vector<GrainPoint> points(everywhere.size());
  lay_grains(kind, rows, everywhere, points);
  return points;
}

double mean_cover(const std::vector<GrainPoint>& points) {
  double sum = 0;
  for (const GrainPoint& point : points)
    sum += 1 - static_cast<double>(point.open);
  return sum / static_cast<double>(points.size());
}

// Stoyan, Kendall and Mecke: 1 - exp(-g w / w1), by optics/grain.h. 24 x 24 mm hold 73 000 grains a cover, so
// the share covered is known to better than 0.003 (three deviations).
TEST(SiftedGrains, CoverTheShareThatTheModelSays) {
  const PointRows rows{3.2, -1.7, 0.04, 600, 600};
  for (const Finish finish : {Finish::unfired, Finish::tack, Finish::full}) {
    const GrainKind kind = kind_of(finish);
    for (const double covers : {0.05, 0.4, 1.0, 2.4}) {
      const double expected = covered_share(load_of_one_cover(grain) * covers, grain, kind.values.spread);
      EXPECT_NEAR(mean_cover(laid(kind, rows, covers)), expected, 0.004) << name_of(finish) << ' ' << covers;
    }
  }
}

// So thinly that few lie on each other: the shadow of a lone grain is that of its diameter, spread as melted.
TEST(SiftedGrains, HaveTheDiameterOfThePowder) {
  const PointRows rows{0, 0, 0.02, 1500, 1500};
  for (const Finish finish : {Finish::unfired, Finish::full}) {
    const GrainKind kind = kind_of(finish);
    const std::vector<GrainPoint> points = laid(kind, rows, 0.01);
    std::vector<int> seen(points.size(), 0);
    int grains = 0;
    double area = 0;
    std::vector<std::size_t> todo;
    for (std::size_t start = 0; start < points.size(); ++start) {
      area += (1 - static_cast<double>(points[start].open)) * rows.step * rows.step;
      if (seen[start] != 0 || points[start].open >= 1)
        continue;
      ++grains;
      todo = {start};
      seen[start] = 1;
      while (!todo.empty()) {
        const std::size_t at = todo.back();
        todo.pop_back();
        const std::size_t width = 1500;
        const std::size_t beside[] = {at % width > 0 ? at - 1 : at, at % width + 1 < width ? at + 1 : at,
                                      at >= width ? at - width : at,
                                      at + width < points.size() ? at + width : at};
        for (const std::size_t next : beside) {
          if (seen[next] == 0 && points[next].open < 1) {
            seen[next] = 1;
            todo.push_back(next);
          }
        }
      }
    }
    ASSERT_GT(grains, 800);
    const double diameter = std::sqrt(4 / std::numbers::pi * area / grains);
    EXPECT_NEAR(diameter, spread_diameter(kind).value(), 0.05 * spread_diameter(kind).value())
        << name_of(finish);
  }
}

TEST(SiftedGrains, AreTheSameInAnyPart) {
  const GrainKind kind = kind_of(Finish::tack);
  const PointRows whole{0, 0, 0.03, 300, 200}, part{90 * 0.03, 40 * 0.03, 0.03, 100, 100};
  const std::vector<GrainPoint> all = laid(kind, whole, 1), some = laid(kind, part, 1);
  int covered = 0;
  for (int y = 0; y < part.height; ++y) {
    for (int x = 0; x < part.width; ++x) {
      const GrainPoint& a = all[static_cast<std::size_t>((y + 40) * whole.width + x + 90)];
      const GrainPoint& b = some[static_cast<std::size_t>(y * part.width + x)];
      ASSERT_NEAR(a.open, b.open, 1e-4) << x << ' ' << y;
      covered += a.open < 0.5F ? 1 : 0;
    }
  }
  EXPECT_GT(covered, 3000);
}

TEST(SiftedGrains, AHeavierToneHoldsTheGrainsOfALighterOne) {
  const GrainKind kind = kind_of(Finish::tack);
  const PointRows rows{0, 0, 0.03, 200, 200};
  const std::vector<GrainPoint> light = laid(kind, rows, 0.5), heavy = laid(kind, rows, 1.5);
  for (std::size_t i = 0; i < light.size(); ++i)
    ASSERT_LE(heavy[i].open, light[i].open + 1e-6F);
}

TEST(SiftedGrains, AnotherSeedIsAnotherThrow) {
  const PointRows rows{0, 0, 0.03, 200, 200};
  const std::vector<GrainPoint> one = laid(kind_of(Finish::tack, 7), rows, 1),
                                other = laid(kind_of(Finish::tack, 8), rows, 1);
  int differ = 0;
  for (std::size_t i = 0; i < one.size(); ++i)
    differ += std::abs(one[i].open - other[i].open) > 0.5F ? 1 : 0;
  // Two independent throws of 0.75 each differ at 2 * 0.75 * 0.25 of the points.
  EXPECT_NEAR(differ / static_cast<double>(one.size()), 0.375, 0.1);
}

// Nothing pulls the slopes of visible grains to one side, so that shading has no preferred side either.
TEST(SiftedGrains, SlopeToAllSidesAlike) {
  const PointRows rows{0, 0, 0.04, 500, 500};
  const std::vector<GrainPoint> points = laid(kind_of(Finish::tack), rows, most_covers);
  double x = 0, y = 0, square = 0;
  for (const GrainPoint& point : points) {
    x += static_cast<double>(point.slope_x);
    y += static_cast<double>(point.slope_y);
    square += static_cast<double>(point.slope_x) * static_cast<double>(point.slope_x);
  }
  const auto count = static_cast<double>(points.size());
  const double deviation = std::sqrt(square / count);
  EXPECT_GT(deviation, 0.15);
  EXPECT_LT(std::abs(x / count), 0.02 * deviation);
  EXPECT_LT(std::abs(y / count), 0.02 * deviation);
}

TEST(SiftedGrains, NothingLiesWhereNoLoadIs) {
  const PointRows rows{0, 0, 0.03, 60, 60};
  std::vector<float> covers(3600, 0.0F);
  for (std::size_t i = 0; i < covers.size(); ++i)
    covers[i] = i % 60 < 30 ? 2.0F : 0.0F;
  std::vector<GrainPoint> points(covers.size());
  lay_grains(kind_of(Finish::tack), rows, covers, points);
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i % 60 >= 30) {
      ASSERT_EQ(points[i].open, 1.0F);
    }
  }
}

}  // namespace
}  // namespace powderplan
