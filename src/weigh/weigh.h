// Grams: what lands, what leaves the sifter, what comes back, and whether the jar holds it.
#pragma once

#include <optional>
#include <vector>

#include "glass/palette.h"
#include "layers/layer.h"
#include "layers/panel_cuts.h"
#include "units.h"

namespace powderplan {

struct WeighRules {
  // The sifter is swept over the openings and this far beyond their edges.
  Millimetres sweep_margin{10.0};
  // Share of the overspill that is brushed off the stencil and goes back into the jar.
  double comes_back = 0.8;
};

struct LayerWeights {
  Grams lands;                      // load * area
  Grams sift;                       // lands / capture
  Grams overspill;                  // sift - lands
  double capture = 1;               // share of the swept field that is open
  std::vector<Grams> region_lands;  // one a region
};

struct PowderTotal {
  std::size_t powder = 0;   // its place in Palette::powders
  Grams lands, sift, used;  // used = what the jar loses for good: lands and what does not come back
  std::optional<Grams> stock;
  // What the jar lacks, 0 when nothing: at every step it must hold what is sifted then, after what the steps
  // before have used up.
  Grams short_of;
};

struct Weights {
  std::vector<LayerWeights> layers;
  // By panel, then by layer; empty when the piece is not cut. No regions.
  std::vector<std::vector<LayerWeights>> panels{};
  std::vector<PowderTotal> totals;  // each powder of the choice once, in its order
};

// The first `lying` layers lie on the glass already: they are weighed, but ask nothing of the jars any more.
// Where the piece is cut into panels each is sifted for itself, and a layer weighs what its panels do
// together.
Weights weigh(const Separation& separation, const std::vector<Layer>& layers, const Palette& palette,
              const WeighRules& rules = {}, std::size_t lying = 0, const std::vector<Panel>& panels = {});

// Of one layer. Needs its areas, its load, where it is open, and its regions.
LayerWeights weigh_layer(const Grid& grid, const Layer& layer, const WeighRules& rules);

}  // namespace powderplan
