#include "weigh/weigh.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "parallel.h"
#include "weigh/jar.h"
#include "weigh/panel_weights.h"

namespace powderplan {
namespace {

// Area of the points within `reach` grid points of an opening, openings included, in points.
double swept_points(const BitMask& open, double reach) {
  // In bands much higher than what they share with their neighbours, so that little is held at once.
  const int around = static_cast<int>(std::ceil(reach)), band = std::max(256, 8 * around);
  double swept = 0;
  for (int begin = 0; begin < open.height(); begin += band) {
    const int end = std::min(open.height(), begin + band), first = std::max(0, begin - around);
    const int last = std::min(open.height(), end + around);
    const BitMask near = open.cut_out({0, first, open.width(), last - first});
    if (!near.any())
      continue;
    cv::Mat distance;
    cv::distanceTransform(near.inverted().bytes(), distance, cv::DIST_L2, cv::DIST_MASK_PRECISE);
    swept += cv::countNonZero(distance.rowRange(begin - first, end - first) <= reach);
  }
  return swept;
}

}  // namespace

LayerWeights weigh_layer(const Grid& grid, const Layer& layer, const WeighRules& rules) {
  LayerWeights weights;
  weights.lands = Grams(layer.load.value() * layer.amount_cm2);
  for (const Region& region : layer.regions)
    weights.region_lands.emplace_back(layer.load.value() * region.amount_cm2);
  if (!layer.open.empty()) {
    const double reach = rules.sweep_margin / grid.pitch;
    const auto open = static_cast<double>(layer.open.count());
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
