// What a request asks of the techniques.
#pragma once

#include <vector>

#include "glass/palette.h"
#include "plan/request.h"
#include "separation/powder_ways.h"

namespace powderplan {

// How each powder of the palette may be put down: the techniques of the run, less those that the powder must
// not be laid by. A powder that may be laid in one way only keeps that way if the run allows it. Throws
// Problem (command_line) for an id that is not on the shelf and for a powder that no way is left for.
std::vector<PowderWays> powder_ways(const PlanRequest& request, const Palette& palette);

}  // namespace powderplan
