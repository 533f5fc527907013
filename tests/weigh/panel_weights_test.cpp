// Panels weigh together what the piece weighs.
#include "weigh/panel_weights.h"

#include <cmath>

#include "drawn_separation.h"
#include "masks.h"
#include "one_jar.h"

namespace powderplan {
namespace {

// Columns of any width, each parted once.
std::vector<Panel> any_panels(const Grid& grid) {
  std::vector<Panel> panels;
  int left = 0;
  for (std::size_t column = 0; left < grid.width; ++column) {
    const int right = any_whole(left + 1, grid.width), middle = any_whole(1, grid.height);
    panels.push_back({0, column, {left, 0, right, middle}});
    if (middle < grid.height)
      panels.push_back({1, column, {left, middle, right, grid.height}});
    left = right;
  }
  return panels;
}

TEST(PanelWeights, WhatLandsAddsUpAndEachPanelIsWeighedAsAPieceOfItsOwn) {
  holds_always(
      [] {
        const Grid grid{Millimetres(any_between(0.5, 4)), any_whole(1, 40), any_whole(1, 40)};
        const unsigned seed = static_cast<unsigned>(any_whole(0, 99999));
        std::mt19937 random(seed);
        const Separation separation = drawn_separation(grid, {nest_of(0, {Load(0.1)})}, {{0}, {1}},
                                                       [&](int, int) { return random() % 5 == 0 ? 1 : 0; });
        const std::vector<Layer> layers = make_layers(separation);
        const std::vector<Panel> panels = any_panels(grid);
        const Weights whole = weigh(separation, layers, one_jar());
        const Weights parted = weigh(separation, layers, one_jar(), {}, 0, panels);
        RC_ASSERT(whole.panels.empty());
        RC_ASSERT(parted.panels.size() == panels.size());
        for (std::size_t i = 0; i < layers.size(); ++i) {
          Grams lands, sift, overspill;
          for (const std::vector<LayerWeights>& panel : parted.panels) {
            lands += panel[i].lands;
            sift += panel[i].sift;
            overspill += panel[i].overspill;
          }
          RC_ASSERT(std::abs((lands - whole.layers[i].lands).value()) < 1e-9);
          RC_ASSERT(std::abs((sift - parted.layers[i].sift).value()) < 1e-9);
          RC_ASSERT(std::abs((overspill - parted.layers[i].overspill).value()) < 1e-9);
          RC_ASSERT(parted.layers[i].region_lands == whole.layers[i].region_lands);
          // Of all that is sifted over the panels, the captured share is what lands: nothing is scratched
          // here.
          const Grams captured = parted.layers[i].sift * parted.layers[i].capture;
          RC_ASSERT(std::abs((captured - parted.layers[i].lands).value()) < 1e-9);
        }
        if (!layers.empty())
          RC_ASSERT(std::abs((parted.totals[0].sift - parted.layers[0].sift).value()) < 1e-9);
        // The first panel, cut out and weighed alone.
        const GridBox& box = panels[0].box;
        const Separation alone = drawn_separation(
            {grid.pitch, box.right - box.left, box.bottom - box.top}, separation.choice, separation.labels,
            [&](int x, int y) { return separation.label_at.at(box.left + x, box.top + y); });
        const Weights of_alone = weigh(alone, make_layers(alone), one_jar());
        const double sift = of_alone.layers.empty() ? 0 : of_alone.layers[0].sift.value();
        const double of_panel = layers.empty() ? 0 : parted.panels[0][0].sift.value();
        RC_ASSERT(std::abs(sift - of_panel) < 1e-9);
      },
      100);
}

TEST(PanelWeights, WhatIsScratchedIsSiftedWhereItIsScratched) {
  const Grid grid{Millimetres(1), 200, 100};
  const Separation separation =
      drawn_separation(grid, {nest_of(0, {Load(0.1)})}, {{0}, {1}}, [](int, int) { return 1; });
  std::vector<Layer> layers = make_layers(separation);
  LinePlan lines;
  lines.paths = {{{{10, 50}, {40, 50}}, {1, 1}, 30}, {{{120, 50}, {130, 50}}, {1, 1}, 10}};
  layers[0].scratched = lines;
  layers[0].scratched_cm2 = 0.4;
  const Weights weights =
      weigh(separation, layers, one_jar(), {}, 0, {{0, 0, {0, 0, 100, 100}}, {0, 1, {100, 0, 200, 100}}});
  EXPECT_NEAR(weights.panels[0][0].overspill.value(), 0.1 * 0.3, 1e-9);
  EXPECT_NEAR(weights.panels[1][0].overspill.value(), 0.1 * 0.1, 1e-9);
}

}  // namespace
}  // namespace powderplan
