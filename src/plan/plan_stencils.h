// The templates of a plan: bridges and splits before the firings are known for good, sheets and repeats
// after.
#pragma once

#include <cstddef>

#include "layers/cut_stencil.h"
#include "layers/stencil.h"
#include "recipe/painter.h"
#include "report/plan_record.h"
#include "separation/target.h"

namespace powderplan {

// Makes layers such that their templates hang together (layers/bridge_layers.h). The firings stay as few as
// they are without bridges: what lies loose below a template that is laid flat is no more than before, and no
// layer is split where that takes a firing or spacers more. The layers are in bench order then. Throws
// Problem as plan_firings does. `laid` lies below them, fired already: it is seen, and stays as it is.
// Without `to_be_cut` the openings are all that is wanted (BridgingRules).
void hold_together(std::vector<Layer>& layers, const KilnLimits& kiln, const Painter& painter,
                   const Target& target, const StencilRules& rules, std::size_t most_layers,
                   const std::vector<Layer>& laid = {}, bool to_be_cut = true);

// Chooses sheets and repeats and counts the bridges. Needs the firings.
void set_up_stencils(PlanRecord& record, RepeatUse repeats);

}  // namespace powderplan
