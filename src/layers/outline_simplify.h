// A chain of many points as a polygon of few.
#pragma once

#include <vector>

#include "shape.h"

namespace powderplan {

// The closed chain followed by few straight lines, none of whose spans leaves a point of the chain farther
// away than `tolerance` (same unit as the points). Points marked as `kept` remain where they are. Lines lie
// among the points they follow, not inside curves, so that the area stays.
PolygonMm simplified(const std::vector<PointMm>& chain, const std::vector<bool>& kept, double tolerance);

// Places where lines of the polygons cross or touch that are not next to each other: the polygons' numbers,
// ascending, each once. Also those with fewer than 3 corners or with two neighbouring corners in one place.
std::vector<std::size_t> entangled(const std::vector<PolygonMm>& polygons);

}  // namespace powderplan
