#include "weigh/weigh.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "parallel.h"

namespace powderplan {
namespace {

// Area of the points within `reach` grid points of an opening, openings included, in points.
double swept_points(const Image<std::uint8_t>& mask, double reach) {
  cv::Mat closed(mask.height(), mask.width(), CV_8U);
  for (std::size_t i = 0; i < mask.size(); ++i)
    closed.data[i] = mask[i] != 0 ? 0 : 1;
  cv::Mat distance;
  cv::distanceTransform(closed, distance, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  return cv::countNonZero(distance <= reach);
}

LayerWeights weigh_layer(const Separation& separation, const Layer& layer, const WeighRules& rules) {
  LayerWeights weights;
  weights.lands = Grams(layer.load.value() * layer.area_cm2);
  for (const Region& region : layer.regions)
    weights.region_lands.emplace_back(layer.load.value() * region.area_cm2);
  if (layer.technique == Technique::stencil) {
    const double reach = rules.sweep_margin / separation.grid.pitch;
    const double swept = swept_points(mask_of(layer, separation), reach) * separation.grid.point_cm2();
    weights.capture = swept > 0 ? layer.area_cm2 / swept : 1.0;
  }
  weights.sift = weights.lands / weights.capture;
  weights.overspill = weights.sift - weights.lands;
  return weights;
}

}  // namespace

Weights weigh(const Separation& separation, const std::vector<Layer>& layers, const Palette& palette,
              const WeighRules& rules) {
  Weights weights;
  weights.layers.resize(layers.size());
  for_each_block(layers.size(),
                 [&](std::size_t i) { weights.layers[i] = weigh_layer(separation, layers[i], rules); });
  for (std::size_t p = 0; p < separation.choice.size(); ++p) {
    PowderTotal total;
    total.powder = separation.choice[p].powder;
    total.stock = palette.powders[total.powder].stock;
    Grams busiest;  // most that one sifting takes from the jar beyond what lands before it
    for (std::size_t i = 0; i < layers.size(); ++i) {
      if (layers[i].chosen != p)
        continue;
      const LayerWeights& layer = weights.layers[i];
      // The jar must hold what earlier layers have used up and all that leaves the sifter now.
      busiest = std::max(busiest, total.used + layer.sift);
      total.lands += layer.lands;
      total.sift += layer.sift;
      total.used += layer.lands + layer.overspill * (1 - rules.comes_back);
    }
    if (total.stock)
      total.short_of = std::max(Grams(0), busiest - *total.stock);
    weights.totals.push_back(total);
  }
  return weights;
}

}  // namespace powderplan
