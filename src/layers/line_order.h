// The order in which a hand draws lines: little travel between them.
#pragma once

#include "layers/line_paths.h"

namespace powderplan {

// Orders the paths, turns them round where that helps, and begins rings (first point = last point) where the
// hand comes from; fills in `travel_mm`. Deterministic.
void order_paths(LinePlan& plan);

}  // namespace powderplan
