// What a request asks of the choice of powders.
#pragma once

#include "glass/palette.h"
#include "plan/request.h"
#include "separation/choice_search.h"

namespace powderplan {

// The limits of the search, with powders by their place in the palette. Throws Problem: (command_line) for an
// id that is not on the shelf, powders both forced in and left out, or none left; (infeasible) when more
// powders are forced in than there are layers, or no layer is light enough for the load of a firing.
ChoiceLimits choice_limits(const PlanRequest& request, const Palette& palette);

}  // namespace powderplan
