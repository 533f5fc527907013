// What a request asks of the firings.
#pragma once

#include "firing/firing.h"
#include "plan/request.h"

namespace powderplan {

// The limits of the planner, with powders by their place in the palette. Throws Problem (command_line) for an
// id that is not on the shelf, and for a powder named twice with different words.
FiringLimits firing_limits(const PlanRequest& request, const Palette& palette);

}  // namespace powderplan
