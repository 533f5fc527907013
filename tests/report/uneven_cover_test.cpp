#include "report/uneven_cover.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "finished.h"

namespace powderplan {
namespace {

constexpr Millimetres grain{0.1};

// Drawn grain by grain and averaged, or drawn as numbers at once: the same mean and the same unevenness.
TEST(UnevenCover, IsThatOfDrawnGrains) {
  constexpr int blocks = 120, fine = 10;
  constexpr double step = 0.03;
  for (const Finish finish : {Finish::tack, Finish::full}) {
    const GrainKind kind{7, grain, finished(finish, grain)};
    for (const double covers : {0.15, 0.8, 2.0}) {
      const PointRows rows{0, 0, step, blocks * fine, blocks * fine};
      const std::vector<float> load(static_cast<std::size_t>(rows.width * rows.height),
                                    static_cast<float>(covers));
      std::vector<GrainPoint> drawn(load.size());
      lay_grains(kind, rows, load, drawn);
      const PointRows coarse{step * (fine - 1) / 2.0, step * (fine - 1) / 2.0, step * fine, blocks, blocks};
      const std::vector<float> everywhere(blocks * blocks, static_cast<float>(covers));
      std::vector<GrainPoint> uneven(everywhere.size());
      UnevenCover(kind, Millimetres(coarse.step)).lay(coarse, 1, everywhere, uneven);
      double sums[2] = {}, squares[2] = {};
      for (int y = 0; y < blocks; ++y) {
        for (int x = 0; x < blocks; ++x) {
          double block = 0;
          for (int v = 0; v < fine; ++v) {
            for (int u = 0; u < fine; ++u)
              block += static_cast<double>(
                  drawn[static_cast<std::size_t>((y * fine + v) * blocks * fine + x * fine + u)].open);
          }
          const double open[] = {block / (fine * fine),
                                 static_cast<double>(uneven[static_cast<std::size_t>(y * blocks + x)].open)};
          for (int i = 0; i < 2; ++i) {
            sums[i] += open[i];
            squares[i] += open[i] * open[i];
          }
        }
      }
      constexpr double count = blocks * blocks;
      const double deviation[] = {std::sqrt(squares[0] / count - std::pow(sums[0] / count, 2)),
                                  std::sqrt(squares[1] / count - std::pow(sums[1] / count, 2))};
      EXPECT_NEAR(sums[0] / count, sums[1] / count, 0.006) << covers;
      EXPECT_NEAR(deviation[1] / deviation[0], 1.0, 0.1) << name_of(finish) << ' ' << covers;
    }
  }
}

TEST(UnevenCover, PointsOfOnePixelShareItsGrains) {
  const GrainKind kind{7, grain, finished(Finish::tack, grain)};
  const UnevenCover cover(kind, Millimetres(0.3));
  const std::vector<float> some(900, 0.8F);
  std::vector<GrainPoint> points(900);
  cover.lay({0.05, 0.05, 0.1, 30, 30}, 3, some, points);
  int same = 0;
  for (std::size_t y = 0; y < 30; ++y) {
    for (std::size_t x = 0; x < 30; ++x) {
      ASSERT_EQ(points[y * 30 + x].open, points[y / 3 * 3 * 30 + x / 3 * 3].open);
      same += x >= 3 && points[y * 30 + x].open == points[y * 30 + x - 3].open ? 1 : 0;
    }
  }
  EXPECT_LT(same, 300) << "and pixels beside each other do not";
}

}  // namespace
}  // namespace powderplan
