// Which layers share a firing, in which order they are put down, how hot it is, and what that leaves of each
// layer.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "firing/schedule.h"
#include "glass/palette.h"
#include "layers/layer.h"
#include "optics/finish.h"
#include "raster/image.h"
#include "units.h"

namespace powderplan {

struct Firing {
  Finish finish = Finish::full;  // the target of its schedule
  Schedule segments;
  Millimetres thickness;            // what the schedule is made for: the piece after this firing
  Millimetres flow;                 // the heat of the schedule
  std::vector<std::size_t> layers;  // places in the list of layers, in bench order
  std::string why;                  // what forced it, for the worksheet
  // What powder of the reference grain, put down for this firing, is after it: fused share, and texture left
  // (1 rough .. 0 flat).
  double sintering = 0, texture = 0;
};

// What became of one layer in the assignment.
struct LayerPlace {
  std::size_t firing = 0;  // place in the list of firings
  bool raised = false;     // its stencil stands on spacers, because it would touch loose powder
  std::string why;         // what forced it there, for the worksheet
};

struct FiringPlan {
  std::vector<Firing> firings;
  std::vector<LayerPlace> places;  // one a layer
  // Whether no better plan exists for these layers under these limits; and how few firings none can beat.
  bool proven = true;
  int least_firings = 0;
};

// Which layers have their stencil on spacers, and how many.
std::vector<bool> raised_layers(const FiringPlan& plan);
std::size_t raised_stencils(const FiringPlan& plan);

// When stencils may stand on spacers over loose powder.
enum class RaisedUse {
  never,
  when_needed,  // only where a limit of firings cannot be kept otherwise, and then as few as that takes
  freely,       // a firing saved is worth any number of them
};

struct FixedFiring {
  std::size_t powder = 0;  // place in Palette::powders; all its layers
  int firing = 1;
};
struct FinishWish {
  std::size_t powder = 0;
  Finish finish = Finish::full;
};
struct PowderPair {
  std::size_t a = 0, b = 0;
};

struct FiringLimits {
  std::optional<int> most_firings;
  // Without that limit: no more firings than this, or as few more as it takes, where stencils on spacers can
  // save the rest.
  std::optional<int> rather_at_most;
  Load most_loose_load = full_load;  // anywhere, in one firing
  RaisedUse raised = RaisedUse::when_needed;
  std::vector<FixedFiring> fixed;
  Finish finish = Finish::full;   // what the heat leaves of each powder ...
  std::vector<FinishWish> other;  // ... but of these
  Finish between = Finish::tack;  // of the earlier firings: enough to hold the powder
  std::vector<PowderPair> apart;  // must not lie loose together: they react
  // The grain for which finishes are meant: the median of the shelf's usable powders in a plan.
  Millimetres reference_grain{0.1};
};

// What is left of this powder's texture when all is fired.
Finish finish_wished(const FiringLimits& limits, std::size_t powder);

// How much softer an edge is under a stencil raised on spacers: grains drift by about a third of the 3 mm
// that they fall further (estimate of ours). From 10 to 90 % of the load.
inline constexpr Millimetres raised_softening{1.0};

// The best plan that keeps these rules:
// - order: a layer is put down after those it lies on; layers of one powder may come in any order;
// - contact: where a template laid flat would rest on loose powder it stands on spacers, or that is fired
//   first;
// - load: no more loose powder in one firing than the limit, anywhere;
// - heat: no firing is hotter than what an earlier layer is to keep, so a layer with a cooler finish comes
//   after the last firing of the hotter ones;
// - chemistry: powders of a pair that must stay apart do not share a firing where they touch;
// - what the user has fixed.
// The fewest firings, then the fewest raised stencils, then the least softening of edges; with
// RaisedUse::when_needed under a limit that asks for raised stencils the fewest of these come first. Layers
// come from the bottom of the glass to the top. Schedules are made for the sheet alone. `softening` tells for
// each layer what raising its stencil costs (any unit); empty: the length of its outline counts.
//
// Throws Problem (infeasible) with the smallest changes each of which makes it possible; two fixed layers
// that contradict each other are named.
FiringPlan plan_firings(std::span<const Layer> layers, const Sheet& sheet, const Palette& palette,
                        const FiringLimits& limits, std::span<const double> softening = {});

// What a step needs to plan firings of its own. Refers to what it is made from.
struct KilnLimits {
  const Sheet& sheet;
  const Palette& palette;
  const FiringLimits& firing;
};
inline FiringPlan plan_firings(std::span<const Layer> layers, const KilnLimits& kiln,
                               std::span<const double> softening = {}) {
  return plan_firings(layers, kiln.sheet, kiln.palette, kiln.firing, softening);
}

// Schedules of the firings from `first` on, made for the sheet and the powder that is on it then: another
// pass over all layers, which trials of plans can do without. Layers are those of the plan, on this grid.
// Flows stay as planned within twice flow_rounding.
void allow_for_powder(FiringPlan& plan, std::span<const Layer> layers, const KilnLimits& kiln,
                      const Grid& grid, std::size_t first = 0);

// The layers in the order in which a plan puts them down, and the plan for that order.
void put_in_bench_order(std::vector<Layer>& layers, FiringPlan& plan);

// For each layer the earlier ones of its firing, whose powder lies loose when its template is laid flat on
// the glass; none where it is raised on spacers.
std::vector<std::vector<std::size_t>> loose_below_flat_templates(const FiringPlan& plan);

}  // namespace powderplan
