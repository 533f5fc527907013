// Makes the openings of all layers such that their templates hang together, where that hurts the picture
// least.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "layers/layer.h"
#include "layers/stencil.h"
#include "recipe/painter.h"
#include "separation/target.h"

namespace powderplan {

struct BridgingRules {
  StencilRules stencil;
  // For each layer the earlier ones whose powder is still loose when its template is laid flat. What it
  // closes above their powder, they close too, so that it never touches that. Those without a template
  // cannot: bridges go round their powder wherever there is a way. Empty: no layer has any.
  std::vector<std::vector<std::size_t>> loose_below;
  std::size_t most_layers = 0;  // of the plan; with fewer, a layer may be split in two
  // Otherwise only the openings are wanted: no cut lines, nor the error of the shortest bridges for
  // comparison.
  bool to_be_cut = true;
  // Whether these layers could be laid in place of the present ones. Not set: always.
  std::function<bool(const std::vector<Layer>&)> may_be_split;
};

// For each layer with a template, from the last to the first: bridges (layers/bridges.h) by what closing each
// point costs, the rise of the CIEDE2000 difference to the target in the look of all layers together, with
// what has been closed before. Small islands are powdered over where that costs less than their bridges would
// (layers/island_choice.h), as far as no template is laid flat on them later. Amounts and openings are
// cleared where it is closed, regions measured again, and the cut lines drawn. `stencil` of the layer is
// filled in but for the sheet, times and repeats; its error_cm2 counts bridges and powdered islands, its
// shortest_error_cm2 the same openings held by the shortest bridges alone. Points that the target leaves bare
// cost nothing. Layers of which nothing is left are left out.
//
// Then, while the plan may have more layers: a layer whose bridges spoil the picture more than the least of
// the plan's layers mends it (and by more than least_split_gain) is split in two, if that saves as much
// (layers/split_for_bridges.h). The second part lies behind the first.
//
// All sizes must agree. Amounts of fades are rounded (layers/layer_looks.h), and bridges are sought on the
// looks of small cells; errors are summed over the points themselves, but for those of single bridges and of
// the shortest ones.
void bridge_layers(std::vector<Layer>& layers, const Painter& painter, const Target& target,
                   const BridgingRules& rules);

// Mean CIEDE2000 over the piece that nobody sees, whatever the layers of a plan are worth.
inline constexpr double least_split_gain = 0.05;

}  // namespace powderplan
