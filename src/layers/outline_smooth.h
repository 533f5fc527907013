// Takes the steps of the grid out of a traced outline.
#pragma once

#include <vector>

#include "layers/outline_trace.h"

namespace powderplan {

// The chain's points moved to where the edge was likely drawn: averaged along the chain without shrinking
// its curves (Taubin 1995 in its idea; what one averaging took is averaged and added back), no point
// farther than its reach, those on the piece's edge along it only.
std::vector<PointMm> smoothed(const std::vector<TracedPoint>& chain);

}  // namespace powderplan
