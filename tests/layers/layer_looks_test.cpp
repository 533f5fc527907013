#include "layers/layer_looks.h"

#include <gtest/gtest.h>

#include <array>

#include "colour/difference.h"
#include "colour/quick_difference.h"
#include "drawn_separation.h"
#include "layers/fired_look.h"
#include "shelf.h"

namespace powderplan {
namespace {

constexpr Grid grid{Millimetres(0.5), 30, 21};
constexpr std::array<std::size_t, 1> second{1};

const Painter& painter() {
  static const Painter on_clear = small_painter();
  return on_clear;
}

// Red on the left, black across the middle.
std::vector<Layer> crossing() {
  const Choice choice{nest_of(red, {Load(0.2)}), nest_of(black, {Load(0.1)})};
  return make_layers(drawn_separation(grid, choice, {{0, 0}, {1, 0}, {0, 1}, {1, 1}}, [](int x, int y) {
    return (x < 17 ? 1 : 0) + (y >= 8 && y < 15 ? 2 : 0);
  }));
}

Target grey_wanted() {
  return {grid, Image<PackedLab>(grid.width, grid.height, {55, 6, 10}), {}, {}};
}

// Point by point, from the look of all layers.
double error_at(const std::vector<Layer>& layers, const Target& target, int x, int y) {
  const Image<PackedLab> look = fired_colours(painter(), layers, grid, whole_amount);
  return ciede2000(to_lab(target.wanted.at(x, y)), to_lab(look.at(x, y)));
}

TEST(LayerLooks, CostIsTheRiseOfTheColourDifference) {
  const std::vector<Layer> layers = crossing();
  std::vector<Layer> missing = layers;
  missing[1].amount = Image<Amount>(grid.width, grid.height, 0);
  Target target = grey_wanted();
  target.bare = Image<std::uint8_t>(grid.width, grid.height, 0);
  target.bare.at(3, 10) = 1;
  LayerLooks looks(layers, painter(), target, 1);
  const CellCosts cost = looks.cost_without(second);
  for (const auto& [x, y] : std::array<std::pair<int, int>, 4>{{{2, 10}, {25, 10}, {2, 2}, {25, 20}}}) {
    const double rise = error_at(missing, target, x, y) - error_at(layers, target, x, y);
    // Each of the two differences is off by its share of at most a hundred.
    EXPECT_NEAR(cost.at(x, y), rise, 2 * 100 * quick_ciede2000_error) << x << " " << y;
  }
  EXPECT_GT(std::abs(cost.at(2, 10)), 0.5F);
  EXPECT_EQ(cost.at(2, 2), 0);
  EXPECT_EQ(cost.at(3, 10), 0) << "bare";
  const std::vector<cv::Point> points{{2, 10}, {25, 10}, {3, 10}};
  EXPECT_NEAR(looks.rise_without(second, points),
              static_cast<double>(cost.at(2, 10) + cost.at(25, 10)) * grid.point_cm2(), 1e-6);
}

TEST(LayerLooks, KeepsUpWithWhatIsClosed) {
  std::vector<Layer> layers = crossing();
  const Target target = grey_wanted();
  for (const int cell : {1, 2, 4}) {
    LayerLooks looks(layers, painter(), target, cell);
    CellCosts kept = looks.cost_without(second);
    std::vector<cv::Point> points;
    for (int y = 9; y < 14; ++y) {
      for (int x = 5 + cell; x < 12 + cell; ++x) {
        points.emplace_back(x, y);
        layers[static_cast<std::size_t>(x % 2)].amount.at(x, y) = 0;
      }
    }
    looks.refresh(points);
    looks.bring_up_to_date(kept, second, points);
    const CellCosts again = looks.cost_without(second);
    const CellCosts fresh = LayerLooks(layers, painter(), target, cell).cost_without(second);
    for (std::size_t i = 0; i < fresh.costs().size(); ++i) {
      ASSERT_EQ(kept.costs()[i], fresh.costs()[i]) << cell << " " << i;
      ASSERT_EQ(again.costs()[i], fresh.costs()[i]) << cell << " " << i;
    }
  }
}

TEST(LayerLooks, WithOtherAmountsOfALayer) {
  const std::vector<Layer> layers = crossing();
  std::vector<Layer> more = layers;
  more[1].amount.at(2, 2) = whole_amount;
  const Target target = grey_wanted();
  LayerLooks looks(layers, painter(), target, 2);
  const std::vector<cv::Point> points{{2, 2}};
  EXPECT_NEAR(looks.rise_with(1, std::array{whole_amount}, points),
              (error_at(more, target, 2, 2) - error_at(layers, target, 2, 2)) * grid.point_cm2(), 1e-6);
}

}  // namespace
}  // namespace powderplan
