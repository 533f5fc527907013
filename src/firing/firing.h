// Which layers share a firing, how hot it is, and what that leaves of each layer.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "firing/schedule.h"
#include "glass/palette.h"
#include "layers/layer.h"
#include "optics/finish.h"
#include "units.h"

namespace powderplan {

struct Firing {
  Finish finish = Finish::full;  // the target of its schedule
  Schedule segments;
  Millimetres flow;                 // the heat of the schedule
  std::vector<std::size_t> layers;  // places in the list of layers, in bench order
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
};

struct FiringLimits {
  std::optional<int> most_firings;
  // Without that limit: no more firings than this, or as few more as it takes, where stencils on spacers can
  // save the rest.
  std::optional<int> rather_at_most;
  Load most_loose_load = full_load;  // anywhere, in one firing
  bool allow_raised = true;          // when the limit asks for it
  Finish finish = Finish::full;      // of the last firing
  Finish between = Finish::tack;     // of the earlier ones: enough to hold the powder
  // The grain for which finishes are meant: the median of the shelf's usable powders in a plan.
  Millimetres reference_grain{0.1};
};

// How much softer an edge is under a stencil raised on spacers: grains drift by about a third of the 3 mm
// that they fall further (estimate of ours).
inline constexpr Millimetres raised_softening{1.0};

// The fewest firings for the layers in the order given, without raised stencils; where the limit of firings
// cannot be met so, the fewest raised stencils within that limit. A layer may follow another in one firing
// when the earlier powder lies wholly inside its opening, or when its stencil is raised on spacers; and the
// loose load stays within the limit everywhere. Throws Problem (infeasible) with the smallest change that
// makes it possible.
FiringPlan plan_firings(const std::vector<Layer>& layers, const Sheet& sheet, const GlassConstants& glass,
                        const FiringLimits& limits);

// For each layer the earlier ones of its firing, whose powder lies loose when its template is laid flat on
// the glass; none where it is raised on spacers.
std::vector<std::vector<std::size_t>> loose_below_flat_templates(const FiringPlan& plan);

}  // namespace powderplan
