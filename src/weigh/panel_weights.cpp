#include "weigh/panel_weights.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/core/types.hpp>

#include "parallel.h"

namespace powderplan {
namespace {

// Of what is scratched, in the box.
double scratched_mm(const std::vector<Layer>& layers, const BoxMm& box) {
  double length = 0;
  for (const Layer& layer : layers) {
    if (!layer.scratched)
      continue;
    for (const LinePath& path : layer.scratched->paths) {
      for (std::size_t i = 0; i + 1 < path.points.size(); ++i) {
        const PointMm a = path.points[i], b = path.points[i + 1];
        const double x = (a.x + b.x) / 2, y = (a.y + b.y) / 2;
        if (x >= box.left && x < box.right && y >= box.top && y < box.bottom)
          length += std::hypot(b.x - a.x, b.y - a.y);
      }
    }
  }
  return length;
}

std::vector<double> shares_of_scratching(const Grid& grid, const std::vector<Layer>& layers,
                                         const std::vector<Panel>& panels) {
  std::vector<double> shares;
  double sum = 0;
  for (const Panel& panel : panels) {
    shares.push_back(scratched_mm(layers, in_mm(panel.box, grid.pitch)));
    sum += shares.back();
  }
  for (double& share : shares)
    share = sum > 0 ? share / sum : 1 / static_cast<double>(panels.size());
  return shares;
}

// As much of a layer as weighing asks for.
Layer part_of(const Layer& layer, const GridBox& box, const Grid& grid, double share_of_scratching) {
  const int width = box.right - box.left, height = box.bottom - box.top;
  Layer part;
  part.load = layer.load;
  part.scratched_cm2 = layer.scratched_cm2 * share_of_scratching;
  std::uint64_t amount = 0;
  for (int y = box.top; y < box.bottom; ++y) {
    const auto* const row = layer.amount.row(y);
    for (int x = box.left; x < box.right; ++x)
      amount += row[x];
  }
  part.amount_cm2 = static_cast<double>(amount) / whole_amount * grid.point_cm2();
  if (!layer.open.empty())
    part.open = layer.open.cut_out({box.left, box.top, width, height});
  return part;
}

}  // namespace

std::vector<std::vector<LayerWeights>> weigh_panels(const Grid& grid, const std::vector<Layer>& layers,
                                                    const std::vector<Panel>& panels,
                                                    const WeighRules& rules) {
  std::vector<std::vector<LayerWeights>> weights(panels.size(), std::vector<LayerWeights>(layers.size()));
  const std::vector<double> scratching = shares_of_scratching(grid, layers, panels);
  for_each_block(panels.size() * layers.size(), [&](std::size_t block) {
    const std::size_t panel = block / layers.size(), i = block % layers.size();
    weights[panel][i] =
        weigh_layer(grid, part_of(layers[i], panels[panel].box, grid, scratching[panel]), rules);
  });
  return weights;
}

LayerWeights of_all_panels(const std::vector<std::vector<LayerWeights>>& panels, const Layer& layer,
                           std::size_t place) {
  LayerWeights all;
  double open = 0, swept = 0;
  for (const std::vector<LayerWeights>& panel : panels) {
    const LayerWeights& weights = panel[place];
    all.lands += weights.lands;
    all.sift += weights.sift;
    open += (weights.sift * weights.capture).value();
    swept += weights.sift.value();
  }
  all.overspill = all.sift - all.lands;
  all.capture = swept > 0 ? open / swept : 1;
  for (const Region& region : layer.regions)
    all.region_lands.emplace_back(layer.load.value() * region.amount_cm2);
  return all;
}

}  // namespace powderplan
