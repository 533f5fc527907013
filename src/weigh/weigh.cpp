#include "weigh/weigh.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "parallel.h"
#include "weigh/jar.h"
#include "weigh/panel_weights.h"

namespace powderplan {
namespace {

// Area of the points within `reach` grid points of an opening, openings included, in points.
double swept_points(const Image<std::uint8_t>& open, double reach) {
  cv::Mat closed(open.height(), open.width(), CV_8U);
  for (std::size_t i = 0; i < open.size(); ++i)
    closed.data[i] = open[i] != 0 ? 0 : 1;
  cv::Mat distance;
  cv::distanceTransform(closed, distance, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  return cv::countNonZero(distance <= reach);
}

}  // namespace

LayerWeights weigh_layer(const Grid& grid, const Layer& layer, const WeighRules& rules) {
  LayerWeights weights;
  weights.lands = Grams(layer.load.value() * layer.amount_cm2);
  for (const Region& region : layer.regions)
    weights.region_lands.emplace_back(layer.load.value() * region.amount_cm2);
  if (!layer.open.empty()) {
    const double reach = rules.sweep_margin / grid.pitch;
    const auto open =
        static_cast<double>(std::count_if(layer.open.data(), layer.open.data() + layer.open.size(),
                                          [](std::uint8_t point) { return point != 0; }));
    const double swept = swept_points(layer.open, reach);
    weights.capture = swept > 0 ? open / swept : 1.0;
  }
  // What is scratched out again has been sifted too.
  weights.sift = Grams(layer.load.value() * (layer.amount_cm2 + layer.scratched_cm2)) / weights.capture;
  weights.overspill = weights.sift - weights.lands;
  return weights;
}

Weights weigh(const Separation& separation, const std::vector<Layer>& layers, const Palette& palette,
              const WeighRules& rules, std::size_t lying, const std::vector<Panel>& panels) {
  Weights weights;
  weights.layers.resize(layers.size());
  weights.panels = weigh_panels(separation.grid, layers, panels, rules);
  for_each_block(layers.size(), [&](std::size_t i) {
    weights.layers[i] = panels.empty() ? weigh_layer(separation.grid, layers[i], rules)
                                       : of_all_panels(weights.panels, layers[i], i);
  });
  for (const std::size_t powder : powders_of(separation.choice)) {
    PowderTotal total;
    total.powder = powder;
    total.stock = palette.powders[total.powder].stock;
    Jar jar;
    for (std::size_t i = lying; i < layers.size(); ++i) {
      if (layers[i].powder != total.powder)
        continue;
      const LayerWeights& layer = weights.layers[i];
      jar.sift(layer.sift, layer.lands + layer.overspill * (1 - rules.comes_back));
      total.lands += layer.lands;
      total.sift += layer.sift;
    }
    total.used = jar.used();
    if (total.stock)
      total.short_of = jar.short_of(*total.stock);
    weights.totals.push_back(total);
  }
  return weights;
}

}  // namespace powderplan
