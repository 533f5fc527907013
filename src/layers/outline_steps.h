// Reads the steps of the grid: where a traced outline likely ran before it was put on the grid.
#pragma once

#include <vector>

#include "layers/outline_trace.h"

namespace powderplan {

// The chain with its points moved off the rows and columns. A slanted line on a grid is a row of runs, each
// a step of one point beside the last; it passes through the middles of the steps (a digital straight line
// has runs of one length or two that follow each other, Rosenfeld 1974). So the end of a run at such a step
// is bent towards the middle of the step, over no more than the length of the run beyond it: gently sloping
// lines come out straight, and the sides of a rectangle with round corners stay where they are. On long runs,
// what is not bent is fixed: it lies along the grid because it was drawn so (reach near 0).
std::vector<TracedPoint> off_the_steps(const std::vector<TracedPoint>& chain);

}  // namespace powderplan
