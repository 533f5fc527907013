// A comparison of the trial plan with a piece that was never made, for tests.
#pragma once

#include "report/fixture.h"
#include "report/piece_comparison.h"

namespace powderplan {

// The dune white a fifth too heavy, the kelp green as planned, the rust untold; the right third of the photo
// cannot be trusted, and the top is off by 6.
inline PieceComparison made_up_comparison(const PlanRecord& plan) {
  PieceComparison found;
  found.firings_done = plan.firing_plan.firings.size();
  found.grid = {Millimetres(1), 32, 24};
  found.planned = Image<Rgb8>(32, 24, {200, 180, 160});
  found.seen = Image<Rgb8>(32, 24, {180, 160, 140});
  found.de00 = Image<float>(32, 24, 1);
  found.counts = Image<std::uint8_t>(32, 24, 1);
  for (int y = 0; y < 24; ++y) {
    for (int x = 0; x < 32; ++x) {
      if (y < 6)
        found.de00.at(x, y) = 6;
      if (x >= 22)
        found.counts.at(x, y) = 0;
    }
  }
  found.mean_de00 = 2.25;
  found.p95_de00 = 6;
  found.explained_de00 = 0.75;
  found.powders = {{0, 1.2, 0.04}, {1, 1.01, 0.02}, {2, 1, 0.4}};
  found.strength.assign(plan.layers.size(), 1);
  found.strength[0] = 1.2;
  for (std::size_t i = 0; i < plan.layers.size(); ++i) {
    LayerFinding finding{i, 2 + static_cast<double>(i), -1, {}};
    for (const Region& region : plan.layers[i].regions)
      finding.regions.push_back({region.id, region.area_cm2, 3 + 0.1 * region.id, -1.5});
    found.layers.push_back(std::move(finding));
  }
  return found;
}

}  // namespace powderplan
