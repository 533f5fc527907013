// What a request asks of the firings.
#pragma once

#include "firing/firing.h"
#include "plan/request.h"
#include "separation/choice_search.h"
#include "separation/powder_ways.h"

namespace powderplan {

// The limits of the planner, with powders by their place in the palette. Throws Problem: (command_line) for
// an id that is not on the shelf and for a powder named twice; (infeasible) for a firing beyond --firings,
// and for what contradicts the order, the heat or the powders that must be in the plan.
FiringLimits firing_limits(const PlanRequest& request, const Palette& palette);

// The same asked of the choice of powders: which of them may share a nest, and where in the stack that lies.
void ask_of_choice(const FiringLimits& limits, const std::vector<PowderWays>& ways, const Palette& palette,
                   ChoiceLimits& choice);

}  // namespace powderplan
