// How soft an edge comes out under a raised stencil, and what that costs, measured on drawn edges.
#include "layers/softening.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "colour/difference.h"
#include "drawn_separation.h"
#include "shelf.h"

namespace powderplan {
namespace {

// One powder where `inside` says so.
template <class Inside>
std::vector<Layer> drawn(const Grid& grid, Inside&& inside) {
  return make_layers(drawn_separation(grid, {nest_of(red, {Load(0.2)})}, {{0}, {1}},
                                      [&](int x, int y) { return inside(x, y) ? 1 : 0; }));
}

double sum_of(const Image<Amount>& amount) {
  return std::accumulate(amount.data(), amount.data() + amount.size(), 0.0);
}

bool same_amounts(const Layer& a, const Layer& b) {
  return std::equal(a.amount.data(), a.amount.data() + a.amount.size(), b.amount.data());
}

// Where a rising row first passes a share of the load, in points, between points by a straight line.
double passes(const Image<Amount>& amount, int y, double share) {
  for (int x = 1; x < amount.width(); ++x) {
    const double before = amount.at(x - 1, y) / static_cast<double>(whole_amount),
                 here = amount.at(x, y) / static_cast<double>(whole_amount);
    if (here >= share)
      return x - 1 + (share - before) / (here - before);
  }
  return amount.width();
}

TEST(Softened, AnEdgeIsAsWideAsAsked) {
  for (const double pitch : {0.05, 0.1, 0.25}) {
    for (const double asked : {1.0, 2.0}) {
      const Grid grid{Millimetres(pitch), static_cast<int>(12 / pitch), 9};
      const std::vector<Layer> crisp = drawn(grid, [&](int x, int) { return x >= grid.width / 2; });
      const std::vector<Layer> soft = softened(crisp, {true}, Millimetres(asked), grid);
      const double width = (passes(soft[0].amount, 4, 0.9) - passes(soft[0].amount, 4, 0.1)) * pitch;
      EXPECT_NEAR(width, asked, pitch) << pitch;
      const int middle = grid.width / 2;
      EXPECT_NEAR(passes(soft[0].amount, 4, 0.5), middle - 0.5, 0.5) << "the edge stays where it is";
      EXPECT_NEAR(sum_of(soft[0].amount) / sum_of(crisp[0].amount), 1, 0.001) << "no powder more or less";
      EXPECT_EQ(soft[0].amount.at(0, 4), 0);
      EXPECT_EQ(soft[0].amount.at(grid.width - 1, 4), whole_amount);
    }
  }
}

TEST(Softened, ARoundOpeningKeepsItsPowder) {
  const Grid grid{Millimetres(0.2), 100, 100};
  const std::vector<Layer> crisp =
      drawn(grid, [](int x, int y) { return std::hypot(x - 49.5, y - 49.5) < 30; });
  const std::vector<Layer> soft = softened(crisp, {true}, Millimetres(1), grid);
  EXPECT_NEAR(sum_of(soft[0].amount) / sum_of(crisp[0].amount), 1, 0.005);
  EXPECT_FALSE(same_amounts(soft[0], crisp[0]));
}

TEST(Softened, OnlyWhatIsRaised) {
  const Grid grid{Millimetres(0.25), 40, 10};
  const std::vector<Layer> layers =
      make_layers(drawn_separation(grid, {nest_of(red, {Load(0.2)}), nest_of(blue, {Load(0.1)})},
                                   {{0, 0}, {1, 0}, {0, 1}}, [](int x, int) {
                                     return x < 13 ? 1 : x < 27 ? 2 : 0;
                                   }));
  const std::vector<Layer> second = softened(layers, {false, true}, Millimetres(1), grid);
  EXPECT_TRUE(same_amounts(second[0], layers[0]));
  EXPECT_FALSE(same_amounts(second[1], layers[1]));
  EXPECT_TRUE(same_amounts(softened(layers, {false, false}, Millimetres(1), grid)[1], layers[1]));
  EXPECT_TRUE(same_amounts(softened(layers, {true, true}, Millimetres(0), grid)[0], layers[0]));
}

// The same by its definition: the colours of both sides mixed as a normal distribution says, point by point,
// and how far that is from the crisp picture. `distance(x, y)` in points, positive on the side of `b`.
template <class Distance>
double measured_cost(const Grid& grid, const LabPixel& a, const LabPixel& b, Millimetres softening,
                     Distance&& distance) {
  // The quantiles of 10 and 90 % are 1.2816 standard deviations from the middle.
  const double sigma = softening / grid.pitch / (2 * 1.28155);
  double sum = 0;
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x) {
      const double from_edge = distance(x, y), share = 0.5 * std::erfc(-from_edge / sigma / std::sqrt(2.0));
      const Lab mixed{a.l + share * (b.l - a.l), a.a + share * (b.a - a.a), a.b + share * (b.b - a.b)};
      sum += ciede2000(to_lab(from_edge > 0 ? b : a), mixed);
    }
  }
  return sum * grid.point_cm2();
}

struct Sides {
  LabPixel a, b;
};

template <class Distance>
double predicted_cost(const Grid& grid, const Sides& sides, Millimetres softening, Distance&& distance) {
  const auto beyond = [&](int x, int y) { return distance(x, y) > 0; };
  Image<PackedLab> look(grid.width, grid.height);
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x)
      look.at(x, y) = beyond(x, y) ? sides.b : sides.a;
  }
  return softening_costs(drawn(grid, beyond), look, softening, grid).at(0);
}

TEST(SofteningCosts, AreTheRiseOfTheMeanDifferenceAlongAStraightEdge) {
  // Light and dark, and two hues; near enough that half a difference is half of it.
  for (const Sides& sides : {Sides{{50, 0, 0}, {54, 0, 0}}, Sides{{60, 20, 10}, {60, 22, 14}}}) {
    for (const double pitch : {0.1, 0.25}) {
      const Grid grid{Millimetres(pitch), static_cast<int>(10 / pitch), static_cast<int>(8 / pitch)};
      const int across = grid.width / 2, down = grid.height / 2;
      const auto upright = [&](int x, int) { return x + 0.5 - across; };
      const auto level = [&](int, int y) { return y + 0.5 - down; };
      for (const double softening : {1.0, 2.0}) {
        const Millimetres soft(softening);
        const double along_y = measured_cost(grid, sides.a, sides.b, soft, upright);
        EXPECT_NEAR(predicted_cost(grid, sides, soft, upright), along_y, 0.05 * along_y) << pitch;
        const double along_x = measured_cost(grid, sides.a, sides.b, soft, level);
        EXPECT_NEAR(predicted_cost(grid, sides, soft, level), along_x, 0.05 * along_x) << pitch;
      }
    }
  }
}

// Edges are counted between points, so that a slanting one is too long; and differences of far colours do not
// add up. The header says by how much.
TEST(SofteningCosts, AreNearEnoughForSlantingEdgesAndFarColours) {
  const Grid grid{Millimetres(0.1), 100, 100};
  const auto slanting = [](int x, int y) { return (x - y + 0.01) / std::sqrt(2.0); };
  const auto upright = [](int x, int) { return x - 49.5; };
  const Sides near{{50, 0, 0}, {54, 0, 0}};
  const double diagonal = predicted_cost(grid, near, Millimetres(1), slanting) /
                          measured_cost(grid, near.a, near.b, Millimetres(1), slanting);
  EXPECT_GT(diagonal, 1.3);
  EXPECT_LT(diagonal, 1.5);
  for (const Sides& far : {Sides{{10, 0, 0}, {95, 0, 0}}, Sides{{40, 50, 30}, {30, 10, -50}},
                           Sides{{80, 0, 70}, {20, 10, -30}}}) {
    const double share = predicted_cost(grid, far, Millimetres(1), upright) /
                         measured_cost(grid, far.a, far.b, Millimetres(1), upright);
    EXPECT_GT(share, 0.75) << far.a.l;
    EXPECT_LT(share, 1.5) << far.a.l;
  }
}

TEST(SofteningCosts, AreNoneWhereNothingIsSeenToChange) {
  const Grid grid{Millimetres(0.25), 20, 20};
  std::vector<Layer> layers = drawn(grid, [](int x, int) { return x < 10; });
  const Image<PackedLab> even(20, 20, {50, 10, 10});
  EXPECT_EQ(softening_costs(layers, even, Millimetres(1), grid), std::vector<double>{0});
  Image<PackedLab> look = even;
  for (int y = 0; y < 20; ++y)
    look.at(9, y) = {20, 0, 0};
  EXPECT_GT(softening_costs(layers, look, Millimetres(1), grid)[0], 0);
  layers[0].open = {};  // laid without a template
  EXPECT_EQ(softening_costs(layers, look, Millimetres(1), grid), std::vector<double>{0});
}

}  // namespace
}  // namespace powderplan
