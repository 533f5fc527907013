// The lines of one panel: what of a piece's drawn or scratched lines lies in it.
#pragma once

#include "layers/line_paths.h"
#include "shape.h"

namespace powderplan {

// Middle lines cut at the panel's edges (Liang and Barsky 1984), in their order and directions, with their
// widths there; places are from the panel's top left corner. A line that leaves and comes back is two.
LinePlan lines_in(const LinePlan& lines, const BoxMm& panel);

}  // namespace powderplan
