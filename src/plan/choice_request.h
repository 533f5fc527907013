// What a request asks of the choice of powders.
#pragma once

#include <string>

#include "glass/palette.h"
#include "plan/request.h"
#include "separation/choice_search.h"

namespace powderplan {

// The place of a powder in the palette. Throws Problem (command_line), naming the flag, when it is not there.
std::size_t place_of(const Palette& palette, const std::string& id, const char* flag);

// The limits of the search, with powders by their place in the palette. Throws Problem: (command_line) for an
// id that is not on the shelf, powders both forced in and left out, or none left; (infeasible) when more
// powders are forced in than there are layers, or no layer is light enough for the load of a firing.
ChoiceLimits choice_limits(const PlanRequest& request, const Palette& palette);

}  // namespace powderplan
