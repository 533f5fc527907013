// Grams of the panels that a piece is cut into: each is sifted for itself.
#pragma once

#include <vector>

#include "layers/panel_cuts.h"
#include "weigh/weigh.h"

namespace powderplan {

// By panel, then by layer, without regions. What lands adds up to what lands on the piece. What is scratched
// out is shared by the length of the lines that are scratched in each panel.
std::vector<std::vector<LayerWeights>> weigh_panels(const Grid& grid, const std::vector<Layer>& layers,
                                                    const std::vector<Panel>& panels,
                                                    const WeighRules& rules);

// What the panels weigh together of the layer at this place, with its regions.
LayerWeights of_all_panels(const std::vector<std::vector<LayerWeights>>& panels, const Layer& layer,
                           std::size_t place);

}  // namespace powderplan
