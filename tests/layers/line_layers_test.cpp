#include "layers/line_layers.h"

#include <numeric>

#include "optics/grain.h"
#include "property.h"
#include "shelf.h"

namespace powderplan {
namespace {

const Grid grid{Millimetres(0.25), 160, 120};

// A level line of this width through the middle, from 5 to 35 mm.
LinePlan level_line(double width_mm) {
  LinePlan plan;
  plan.paths.push_back({{{5, 15}, {35, 15}}, {width_mm, width_mm}, 30});
  plan.length_mm = 30;
  return plan;
}

// A field all over, and bare sheet.
Separation field() {
  return {grid, {nest_of(black, {Load(0.3)})}, {{0}, {1}}, Image<std::uint16_t>(grid.width, grid.height, 1)};
}

double sum(const Image<Amount>& amount) {
  return std::accumulate(amount.data(), amount.data() + amount.size(), 0.0) / whole_amount * grid.point_cm2();
}

TEST(LineLayer, LiesOnTopWhereItIsDrawn) {
  Separation separation = field();
  const Layer layer = line_layer(separation, {white, Load(0.1), 0, 0, 0}, level_line(1.5), {});
  EXPECT_EQ(layer.technique, Technique::line);
  EXPECT_TRUE(layer.open.empty());
  ASSERT_EQ(separation.choice.size(), 2u);
  EXPECT_EQ(layer.powder, white);
  const double true_cm2 = (30 * 1.5 + 3.14159 * 0.75 * 0.75) / 100;  // with round ends
  EXPECT_NEAR(layer.amount_cm2, true_cm2, 0.01 * true_cm2);
  EXPECT_NEAR(layer.amount_cm2, sum(layer.amount), 1e-9);
  ASSERT_EQ(layer.regions.size(), 1u);
}

TEST(LineLayer, LabelsTellWhatLiesWhere) {
  Separation separation = field();
  for (int x = 0; x < 80; ++x) {
    for (int y = 0; y < grid.height; ++y)
      separation.label_at.at(x, y) = 0;
  }
  const Layer layer = line_layer(separation, {white, Load(0.1), 0, 0, 0}, level_line(1.5), {});
  EXPECT_EQ(separation.labels, (std::vector<Tones>{{0, 0}, {1, 0}, {0, 1}, {1, 1}}));
  for (std::size_t i = 0; i < layer.amount.size(); ++i) {
    const Tones& tones = separation.labels[separation.label_at[i]];
    ASSERT_EQ(tones[1], layer.amount[i] >= whole_amount / 2 ? 1 : 0);
    ASSERT_EQ(tones[0], i % 160 < 80 ? 0 : 1);
  }
}

TEST(LineLayer, WidthsAreThoseOfTheHand) {
  Separation separation = field();
  LinePlan lines = level_line(0.2);
  lines.paths[0].width_mm[1] = 9;
  const Layer layer = line_layer(separation, {white, Load(0.1), 0, 0, 0}, lines, {});
  EXPECT_EQ(layer.lines->paths[0].width_mm, (std::vector<double>{0.5, 4}));
}

TEST(Scratch, TakesThePowderOutAndKeepsCount) {
  holds_always(
      [] {
        const double width = any_between(0.5, 4);
        std::vector<Layer> layers = make_layers(field());
        const double before = layers[0].amount_cm2;
        scratch(layers, {0}, level_line(width), grid, {});
        RC_ASSERT(layers[0].amount.at(80, 60) == 0);
        RC_ASSERT(layers[0].amount.at(80, 20) == whole_amount);
        RC_ASSERT(std::abs(layers[0].scratched_cm2 + layers[0].amount_cm2 - before) < 1e-9);
        const double true_cm2 = (30 * width + 3.14159 * width * width / 4) / 100;
        RC_ASSERT(std::abs(layers[0].scratched_cm2 - true_cm2) < 0.02 * true_cm2);
      },
      20);
}

TEST(Scratch, GoesThroughAllLayersAndTheLastCarriesThePlan) {
  Separation separation{grid,
                        {nest_of(black, {Load(0.3)}), nest_of(red, {Load(0.1)})},
                        {{0, 0}, {1, 1}},
                        Image<std::uint16_t>(grid.width, grid.height, 1)};
  std::vector<Layer> layers = make_layers(separation);
  scratch(layers, {0, 1}, level_line(1), grid, {});
  EXPECT_EQ(layers[0].amount.at(80, 60), 0);
  EXPECT_EQ(layers[1].amount.at(80, 60), 0);
  EXPECT_FALSE(layers[0].scratched);
  EXPECT_TRUE(layers[1].scratched);
}

TEST(Lying, TellsTheRecipesOfAllLayersButThoseLeftOut) {
  Separation separation = field();
  std::vector<Layer> layers = make_layers(separation);
  layers.push_back(line_layer(separation, {white, Load(0.1), 0, 0, 0}, level_line(2), {}));
  const LyingRecipes all = lying(layers, grid);
  EXPECT_EQ(all.recipes[all.at.at(80, 60)], (Recipe{{black, Load(0.3)}, {white, Load(0.1)}}));
  EXPECT_EQ(all.recipes[all.at.at(80, 10)], (Recipe{{black, Load(0.3)}}));
  const LyingRecipes without = lying(layers, grid, {true, false});
  EXPECT_EQ(without.recipes[without.at.at(80, 60)], (Recipe{{white, Load(0.1)}}));
  const LyingRecipes nothing = lying({}, grid);
  EXPECT_TRUE(nothing.recipes[nothing.at.at(80, 60)].empty());
}

TEST(MeanWidth, OfALine) {
  for (const double width : {0.75, 1.25, 2.25, 3.75}) {
    const Image<std::uint16_t> amount = drawn(level_line(width), grid, {});
    Image<std::uint8_t> mask(grid.width, grid.height);
    for (std::size_t i = 0; i < mask.size(); ++i)
      mask[i] = amount[i] > wholly_covered / 2 ? 1 : 0;
    EXPECT_NEAR(mean_width(mask, grid).value(), width, 0.15 + 0.1 * width);
  }
  EXPECT_EQ(mean_width(Image<std::uint8_t>(10, 10), grid).value(), 0);
}

TEST(MostLoadOfALine, StandsAsHighAsItIsWide) {
  for (const double width : {0.5, 1.0, 2.0, 4.0})
    EXPECT_NEAR(unfired_height(most_load_of_line(Millimetres(width), glass_density)).value(), width, 0.006);
}

TEST(LinesOf, LeavesOutWhatRunsFarFromAnyStroke) {
  // Squares of half a millimetre, joined at their corners: a texture, no strokes.
  StrokeMap strokes;
  strokes.on = Image<std::uint8_t>(grid.width, grid.height);
  strokes.cover = strokes.on;
  for (int y = 20; y < 100; ++y) {
    for (int x = 20; x < 140; ++x) {
      strokes.on.at(x, y) = (x / 2 + y / 2) % 2 == 0 ? 1 : 0;
      strokes.cover.at(x, y) = strokes.on.at(x, y) != 0 ? 255 : 0;
    }
  }
  const LinePlan lines = lines_of(strokes.on, strokes, grid, {});
  for (const LinePath& path : lines.paths) {
    for (const PointMm& p : path.points) {
      EXPECT_TRUE(p.x > 3 && p.x < 37 && p.y > 3 && p.y < 27) << p.x << " " << p.y;
    }
  }
}

}  // namespace
}  // namespace powderplan
