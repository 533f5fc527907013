// What the layers of a plan ask of its firings, apart from pictures and powders: all that the search for the
// fewest firings needs to know.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "firing/layer_set.h"
#include "units.h"

namespace powderplan {

struct FiringTask {
  std::size_t layers = 0;
  // By layer; every list has one entry a layer.
  std::vector<LayerSet> above;            // these must be down before it is, in its firing or earlier
  std::vector<LayerSet> fired_before;     // these must be fired before it is put down
  std::vector<LayerSet> never_with;       // these must not share its firing
  std::vector<LayerSet> touches;          // its template, laid flat, would rest on powder of these
  std::vector<std::optional<int>> fixed;  // the firing it must be in, from 1
  std::vector<std::int64_t> softening;    // what raising its template costs, in a unit of the caller's
  // Loads that may lie loose at one spot: for each spot that could be too heavy what each layer lays there.
  // No firing may lay more than `most_loose_load` at any of them.
  std::vector<std::vector<Load>> heavy_spots;
  Load most_loose_load;
};

FiringTask empty_task(std::size_t layers);

// Loads are summed in double precision from stored steps.
inline constexpr Load load_tolerance{1e-6};

// The most that a set of layers lays at one of the heavy spots.
Load heaviest(const FiringTask& task, LayerSet set);

// Whether these layers may be fired together, whatever the order and the spacers.
bool may_share(const FiringTask& task, LayerSet set);

// By layer what must be down before it, in its firing or earlier: `above` and `fired_before` with all that
// follows from them.
std::vector<LayerSet> needed_before(const FiringTask& task);

// No plan has fewer firings: along what must lie above what, each step that cannot share a firing counts, and
// what lies loose at one spot needs so many firings under the limit. Without raised stencils a template that
// rests on what must be down before it cannot share a firing with it.
int least_firings(const FiringTask& task, bool raised_allowed);

}  // namespace powderplan
