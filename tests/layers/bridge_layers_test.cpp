#include "layers/bridge_layers.h"

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "colour/quick_difference.h"
#include "drawn_separation.h"
#include "layers/fired_look.h"
#include "layers/stencil_judge.h"
#include "masks.h"
#include "shelf.h"

namespace powderplan {
namespace {

constexpr Grid grid{Millimetres(0.5), 120, 120};

const Painter& painter() {
  static const Painter on_clear = small_painter();
  return on_clear;
}

bool in_ring(int x, int y) {
  const double r = std::hypot(x - 59.5, y - 59.5);
  return r >= 22 && r < 40;
}

std::vector<Layer> layers_of(const Choice& choice, const std::vector<Tones>& labels, auto&& label) {
  return make_layers(drawn_separation(grid, choice, labels, label));
}

// Wants exactly what the layers look like.
Target wanted_as(const std::vector<Layer>& layers) {
  const Spots spots(layers, grid.width, grid.height);
  return {grid, fired_colours(painter(), layers, spots), {}, {}};
}

double mean_error(const std::vector<Layer>& layers, const Target& target) {
  const Spots spots(layers, grid.width, grid.height);
  const Image<PackedLab> look = fired_colours(painter(), layers, spots);
  double sum = 0;
  for (std::size_t i = 0; i < look.size(); ++i)
    sum += ciede2000(to_lab(target.wanted[i]), to_lab(look[i]));
  return sum / static_cast<double>(look.size());
}

double summed_error_cm2(const std::vector<Layer>& layers) {
  double sum = 0;
  for (const Layer& layer : layers)
    sum += layer.stencil ? layer.stencil->error_cm2 : 0;
  return sum;
}

constexpr double piece_cm2 = 36;

const Choice one_powder{nest_of(red, {Load(0.2)})};
const std::vector<Tones> red_or_not{{0}, {1}};

TEST(BridgeLayers, ARingGetsABridgeAndLosesItsPowderThere) {
  std::vector<Layer> layers = layers_of(one_powder, red_or_not, in_ring);
  const Layer before = layers[0];
  const Target target = wanted_as(layers);
  bridge_layers(layers, painter(), target, {});
  ASSERT_EQ(layers.size(), 1u);
  ASSERT_TRUE(layers[0].stencil.has_value());
  const CutStencil& cut = *layers[0].stencil;
  ASSERT_FALSE(cut.stencil.bridges.empty());
  EXPECT_EQ(loose_points(to_mat(layers[0].open)), 0);
  for (const Bridge& bridge : cut.stencil.bridges) {
    const PointMm a = bridge.middle.front(), b = bridge.middle.back();
    const PointMm middle{(a.x + b.x) / 2, (a.y + b.y) / 2};
    const auto x = static_cast<int>(middle.x / 0.5), y = static_cast<int>(middle.y / 0.5);
    EXPECT_TRUE(before.open.at(x, y));
    EXPECT_FALSE(layers[0].open.at(x, y));
    EXPECT_EQ(layers[0].amount.at(x, y), 0);
  }
  for (std::size_t i = 0; i < layers[0].amount.size(); ++i)
    ASSERT_EQ(layers[0].amount[i], is_in(layers[0].open, i) ? whole_amount : 0);
  // Two halves or more, each a region; what lands follows their area.
  EXPECT_EQ(layers[0].regions.size(), cut.stencil.bridges.size());
  EXPECT_LT(layers[0].amount_cm2, before.amount_cm2);
  EXPECT_EQ(cut.stencil.openings.size(), layers[0].regions.size());
  EXPECT_EQ(cut.part, 0);
}

// What the layers report is what the look loses: with even coats no amount is rounded.
TEST(BridgeLayers, ItsErrorsAddUpToWhatThePictureLoses) {
  const Choice choice{nest_of(white, {Load(0.3)}), nest_of(red, {Load(0.1), Load(0.15)})};
  // Rings within rings: white wide, red in two tones.
  std::vector<Layer> layers = layers_of(choice, {{0, 0}, {1, 0}, {1, 1}, {1, 2}}, [](int x, int y) {
    const double r = std::hypot(x - 59.5, y - 59.5);
    return r < 14 || r >= 56 ? 0 : r < 22 || r >= 50 ? 1 : r < 30 || r >= 42 ? 2 : 3;
  });
  const Target target = wanted_as(layers);
  bridge_layers(layers, painter(), target, {});
  ASSERT_EQ(layers.size(), 3u);
  EXPECT_GT(summed_error_cm2(layers), 0.1);
  EXPECT_NEAR(summed_error_cm2(layers), mean_error(layers, target) * piece_cm2,
              0.001 * summed_error_cm2(layers));
}

// A black layer above covers the left half of the ring: a bridge there is not seen.
TEST(BridgeLayers, ABridgeIsLaidBelowALayerThatCovers) {
  const Choice choice{nest_of(red, {Load(0.2)}), nest_of(black, {full_load})};
  std::vector<Layer> layers = layers_of(choice, {{0, 0}, {1, 0}, {0, 1}, {1, 1}}, [](int x, int y) {
    return (in_ring(x, y) ? 1 : 0) + (x < 46 && y > 40 && y < 80 ? 2 : 0);
  });
  const Target target = wanted_as(layers);
  BridgingRules rules;
  rules.stencil.hold = Millimetres(200);  // one bridge is enough
  bridge_layers(layers, painter(), target, rules);
  const CutStencil& cut = *layers[0].stencil;
  ASSERT_EQ(cut.stencil.bridges.size(), 1u);
  for (const PointMm& p : cut.stencil.bridges[0].middle)
    EXPECT_LT(p.x, 23);
  EXPECT_LT(cut.error_cm2, 0.2 * cut.shortest_error_cm2 + 1e-9);
  EXPECT_GT(cut.shortest_error_cm2, 0);
}

TEST(BridgeLayers, BareTargetPointsCostNothing) {
  std::vector<Layer> layers = layers_of(one_powder, red_or_not, in_ring);
  Target target = wanted_as(layers);
  target.bare = Image<std::uint8_t>(grid.width, grid.height, 1);
  bridge_layers(layers, painter(), target, {});
  EXPECT_FALSE(layers[0].stencil->stencil.bridges.empty());
  EXPECT_EQ(layers[0].stencil->error_cm2, 0);
}

// White lies inside red's ring and is still loose when red's template comes down flat.
TEST(BridgeLayers, NothingLooseLiesBelowABridge) {
  const Choice choice{nest_of(white, {Load(0.2)}), nest_of(red, {Load(0.2)})};
  const auto drawn = [&] {
    return layers_of(choice, {{0, 0}, {0, 1}, {1, 1}}, [](int x, int y) {
      const double r = std::hypot(x - 59.5, y - 59.5);
      return !in_ring(x, y) ? 0 : r >= 27 && r < 35 ? 2 : 1;
    });
  };
  const auto touched = [](const std::vector<Layer>& layers) {
    int points = 0;
    for (std::size_t i = 0; i < layers[0].amount.size(); ++i)
      points += !is_in(layers[1].open, i) && layers[0].amount[i] != 0 ? 1 : 0;
    return points;
  };
  std::vector<Layer> layers = drawn();
  const Target target = wanted_as(layers);
  BridgingRules rules;
  rules.loose_below = {{}, {0}};
  bridge_layers(layers, painter(), target, rules);
  EXPECT_EQ(touched(layers), 0);
  EXPECT_NEAR(summed_error_cm2(layers), mean_error(layers, target) * piece_cm2, 1e-3);

  // Laid by hand, the white cannot be left out: red's bridges must cross it, and it stays.
  layers = drawn();
  layers[0].open = {};
  const Image<Amount> before = layers[0].amount;
  bridge_layers(layers, painter(), target, rules);
  EXPECT_GT(touched(layers), 0);
  EXPECT_FALSE(layers[0].stencil.has_value());
  for (std::size_t i = 0; i < before.size(); ++i)
    ASSERT_EQ(layers[0].amount[i], before[i]);

  // Half a ring of white by hand: the bridges go where there is none.
  layers = drawn();
  layers[0].open = {};
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < 60; ++x)
      layers[0].amount.at(x, y) = 0;
  }
  rules.stencil.hold = Millimetres(200);
  bridge_layers(layers, painter(), target, rules);
  EXPECT_EQ(touched(layers), 0);
}

// A fade keeps its amounts where its template stays open.
TEST(BridgeLayers, AFadeWithATemplateIsBridgedToo) {
  std::vector<Layer> layers = layers_of(one_powder, red_or_not, in_ring);
  layers[0].technique = Technique::fade;
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x) {
      if (in_ring(x, y))
        layers[0].amount.at(x, y) = static_cast<Amount>(8 + 3 * x / 2);
    }
  }
  const Target target = wanted_as(layers);
  BridgingRules rules;
  rules.stencil.hold = Millimetres(200);
  bridge_layers(layers, painter(), target, rules);
  ASSERT_EQ(layers[0].stencil->stencil.bridges.size(), 1u);
  // Where it is thinnest.
  for (const PointMm& p : layers[0].stencil->stencil.bridges[0].middle)
    EXPECT_LT(p.x, 22);
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x)
      ASSERT_EQ(layers[0].amount.at(x, y), layers[0].open.at(x, y) ? 8 + 3 * x / 2 : 0);
  }
}

TEST(BridgeLayers, ALayerByHandHasNoTemplate) {
  std::vector<Layer> layers = layers_of(one_powder, red_or_not, in_ring);
  layers[0].technique = Technique::fade;
  layers[0].open = {};
  const double area = layers[0].area_cm2;
  bridge_layers(layers, painter(), wanted_as(layers), {});
  EXPECT_FALSE(layers[0].stencil.has_value());
  EXPECT_EQ(layers[0].area_cm2, area);
}

// Six rings of black on clear: their bridges cost much, and no layer is worth less than they.
class Splitting : public testing::Test {
 protected:
  const Choice choice{nest_of(black, {full_load})};
  std::vector<Layer> layers = layers_of(choice, red_or_not, [](int x, int y) {
    const double r = std::hypot(x % 40 - 19.5, y % 40 - 19.5);
    return r >= 9 && r < 17;
  });
  Target target = wanted_as(layers);
  BridgingRules rules;
};

TEST_F(Splitting, NotWithoutAFurtherLayerInTheBudget) {
  rules.most_layers = 1;
  bridge_layers(layers, painter(), target, rules);
  EXPECT_EQ(layers.size(), 1u);
  // It would pay, if the least layer were worth as little as a split must save.
  EXPECT_GT(layers[0].stencil->error_cm2 / piece_cm2, least_split_gain);
}

TEST_F(Splitting, NotWhereTheLeastLayerIsWorthMore) {
  rules.most_layers = 2;
  bridge_layers(layers, painter(), target, rules);
  EXPECT_EQ(layers.size(), 1u);
}

// A second layer that is worth little makes a further one cheap.
TEST_F(Splitting, WhereItIsWorthMoreThanTheLeastLayer) {
  const Choice with_dots{nest_of(black, {full_load}), nest_of(blue, {Load(0.02)})};
  const auto drawn = [&] {
    return layers_of(with_dots, {{0, 0}, {1, 0}, {0, 1}}, [](int x, int y) {
      const double r = std::hypot(x % 40 - 19.5, y % 40 - 19.5);
      return r >= 9 && r < 17 ? 1 : r < 4 && x < 40 && y < 40 ? 2 : 0;
    });
  };
  layers = drawn();
  target = wanted_as(layers);
  rules.most_layers = 2;
  bridge_layers(layers, painter(), target, rules);
  EXPECT_EQ(layers.size(), 2u);
  const double whole = layers[0].stencil->error_cm2;

  layers = drawn();
  const double wanted_cm2 = layers[0].area_cm2;
  rules.most_layers = 3;
  bridge_layers(layers, painter(), target, rules);
  ASSERT_EQ(layers.size(), 3u);
  EXPECT_EQ(layers[0].stencil->part, 1);
  EXPECT_EQ(layers[1].stencil->part, 2);
  EXPECT_EQ(layers[2].stencil->part, 0);
  EXPECT_EQ(layers[1].nest, layers[0].nest);
  EXPECT_LE(summed_error_cm2(layers), whole - least_split_gain * piece_cm2);
  const double seen = mean_error(layers, target) * piece_cm2;
  EXPECT_NEAR(summed_error_cm2(layers), seen, quick_ciede2000_error * seen);
  for (std::size_t i = 0; i < layers[0].amount.size(); ++i)
    ASSERT_FALSE(is_in(layers[0].open, i) && is_in(layers[1].open, i));
  EXPECT_LE(layers[0].area_cm2 + layers[1].area_cm2, wanted_cm2);
  EXPECT_EQ(loose_points(to_mat(layers[0].open)) + loose_points(to_mat(layers[1].open)), 0);

  layers = drawn();
  rules.may_be_split = [](const std::vector<Layer>& asked) {
    EXPECT_EQ(asked.size(), 3u);
    return false;
  };
  bridge_layers(layers, painter(), target, rules);
  EXPECT_EQ(layers.size(), 2u);
}

}  // namespace
}  // namespace powderplan
