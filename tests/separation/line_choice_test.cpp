#include "separation/line_choice.h"

#include <random>

#include "colour/difference.h"
#include "drawn_separation.h"
#include "separation/cost_table.h"
#include "shelf.h"

namespace powderplan {
namespace {

const LineLimits all_powders{{white, black, red, blue, yellow}, Load(0.01), full_load};

TEST(ChooseLine, TakesBlackForInkOnWhite) {
  const Painter painter = small_painter();
  const Recipe paper{{white, Load(0.4)}};
  const auto choice = choose_line(painter, {{{12, 0, 0}, paper, 100}}, all_powders);
  ASSERT_TRUE(choice);
  EXPECT_EQ(choice->powder, black);
  EXPECT_LT(choice->mean_de00, 5);
  EXPECT_GT(choice->without_de00, 50);
  EXPECT_NEAR(choice->gain, choice->without_de00 - choice->mean_de00 - price_of_load * choice->load.value(),
              1e-9);
}

// No powder and load of a fine ladder does better.
TEST(ChooseLine, IsTheBestThereIs) {
  const Painter painter = small_painter();
  holds_always(
      [&] {
        std::vector<LineSpot> spots;
        for (int i = any_whole(1, 3); i > 0; --i)
          spots.push_back({to_lab(any_rgb8()), any_recipe(2), any_between(1, 100)});
        const auto cost = [&](std::size_t powder, double load) {
          double sum = 0, weight = 0;
          for (const LineSpot& spot : spots) {
            Recipe recipe = spot.below;
            recipe.push_back({powder, Load(load)});
            sum += spot.weight * ciede2000(spot.wanted, painter.lab(recipe));
            weight += spot.weight;
          }
          return sum / weight + price_of_load * load;
        };
        double best = 1e9;
        for (const std::size_t powder : all_powders.usable) {
          double load = 0.01;
          while (load <= 0.75) {
            best = std::min(best, cost(powder, load));
            load *= 1.15;
          }
        }
        const auto choice = choose_line(painter, spots, all_powders);
        if (!choice)
          return;
        RC_ASSERT(choice->load.value() >= 0.01 && choice->load.value() <= 0.75);
        RC_ASSERT(cost(choice->powder, choice->load.value()) <= best + 0.5);
        RC_ASSERT(choice->gain > 0);
      },
      40);
}

TEST(ChooseLine, KeepsToTheLimits) {
  const Painter painter = small_painter();
  const std::vector<LineSpot> spots{{{12, 0, 0}, {{white, Load(0.4)}}, 1}};
  LineLimits limits{{red, blue}, Load(0.02), Load(0.05)};
  const auto choice = choose_line(painter, spots, limits);
  ASSERT_TRUE(choice);
  EXPECT_TRUE(choice->powder == red || choice->powder == blue);
  EXPECT_LE(choice->load.value(), 0.05);
  EXPECT_GE(choice->load.value(), 0.02);
}

TEST(ChooseLine, NothingWhereNothingHelps) {
  const Painter painter = small_painter();
  EXPECT_FALSE(choose_line(painter, {}, all_powders));
  EXPECT_FALSE(choose_line(painter, {{{50, 0, 0}, {}, 0}}, all_powders));
  EXPECT_FALSE(choose_line(painter, {{{50, 0, 0}, {}, 1}}, LineLimits{}));
  const Recipe paper{{white, Load(0.4)}};
  EXPECT_FALSE(choose_line(painter, {{painter.lab(paper), paper, 1}}, all_powders));
}

TEST(LineLayers, BlackAndRedInkAreTwo) {
  const Painter painter = small_painter();
  const Recipe paper{{white, Load(0.4)}};
  const Lab red_ink = painter.lab({{white, Load(0.4)}, {red, Load(0.4)}});
  const std::vector<LineSpot> spots{{{12, 0, 0}, paper, 300}, {red_ink, paper, 100}, {{14, 1, 0}, paper, 50}};
  const LineLayers layers = line_layers(painter, spots, all_powders, 3);
  ASSERT_EQ(layers.layers.size(), 2u);
  EXPECT_EQ(layers.layers[0].powder, black);
  EXPECT_EQ(layers.layers[1].powder, red);
  EXPECT_EQ(layers.layer_of_spot, (std::vector<std::size_t>{0, 1, 0}));
  EXPECT_LT(layers.mean_de00, 5);
  EXPECT_EQ(line_layers(painter, spots, all_powders, 1).layers.size(), 1u);
  EXPECT_TRUE(line_layers(painter, spots, all_powders, 0).layers.empty());
}

TEST(LineLayers, WhatGainsTooLittleIsLeftOut) {
  const Painter painter = small_painter();
  const Recipe paper{{white, Load(0.4)}};
  const LineLayers layers = line_layers(painter, {{painter.lab(paper), paper, 10}}, all_powders, 3);
  EXPECT_TRUE(layers.layers.empty());
  EXPECT_EQ(layers.layer_of_spot, (std::vector<std::size_t>{LineLayers::no_layer}));
  EXPECT_TRUE(line_layers(painter, {}, all_powders, 3).layers.empty());
}

// More layers never make it worse, and each spot has the layer that serves it best.
TEST(LineLayers, MoreLayersAreNoWorse) {
  const Painter painter = small_painter();
  holds_always(
      [&] {
        std::vector<LineSpot> spots;
        for (int i = any_whole(1, 6); i > 0; --i)
          spots.push_back({to_lab(any_rgb8()), any_recipe(1), any_between(1, 100)});
        double before = 1e9;
        for (std::size_t most = 0; most <= 3; ++most) {
          const LineLayers layers = line_layers(painter, spots, all_powders, most);
          RC_ASSERT(layers.layers.size() <= most);
          RC_ASSERT(layers.mean_de00 <= before + 1e-9);
          before = layers.mean_de00;
          for (std::size_t i = 0; i < spots.size(); ++i) {
            const std::size_t own = layers.layer_of_spot[i];
            RC_ASSERT(own == LineLayers::no_layer || own < layers.layers.size());
          }
        }
      },
      25);
}

TEST(SpotsOf, AreColoursOnWhatLiesBelow) {
  StrokeMap map;
  map.on = Image<std::uint8_t>(4, 1, 1);
  map.on[3] = 2;
  map.ink = Image<PackedLab>(4, 1, {10, 0, 0});
  map.ink[2] = {60, 40, 0};
  const Separation below = drawn_separation({Millimetres(0.25), 4, 1}, {nest_of(white, {Load(0.2)})},
                                            {{0}, {1}}, [](int x, int) { return x == 0 ? 0 : 1; });
  const StrokeSpots spots = spots_of(map, 1, below);
  ASSERT_EQ(spots.spots.size(), 3u);
  EXPECT_TRUE(spots.spots[spots.at[0]].below.empty());
  EXPECT_EQ(spots.spots[spots.at[1]].below, (Recipe{{white, Load(0.2)}}));
  EXPECT_NEAR(spots.spots[spots.at[2]].wanted.l, 60, 0.01);
  EXPECT_EQ(spots.spots[spots.at[1]].weight, 1);
  EXPECT_EQ(spots.at[3], StrokeSpots::none);
}

TEST(MasksOf, ShortPiecesGoToTheirNeighbour) {
  StrokeSpots spots;
  spots.spots.resize(2);
  spots.at = Image<std::uint16_t>(60, 3, StrokeSpots::none);
  for (int x = 0; x < 60; ++x)
    spots.at.at(x, 1) = x >= 30 && x < 34 ? 1 : 0;
  LineLayers layers;
  layers.layers.resize(2);
  layers.layer_of_spot = {0, 1};
  const Grid grid{Millimetres(0.25), 60, 3};
  const auto few = masks_of(spots, layers, grid, Millimetres(5));
  const auto all = masks_of(spots, layers, grid, Millimetres(0));
  ASSERT_EQ(few.size(), 2u);
  int first = 0, second = 0;
  for (std::size_t i = 0; i < few[0].size(); ++i) {
    first += few[0][i];
    second += all[1][i];
    EXPECT_EQ(few[1][i], 0);
  }
  EXPECT_EQ(first, 60);
  EXPECT_EQ(second, 4);
}

}  // namespace
}  // namespace powderplan
