// How near a separation comes to its target, and what to compare that with.
#pragma once

#include "recipe/painter.h"
#include "recipe/shelf_reach.h"
#include "separation/colour_index.h"
#include "separation/separation.h"
#include "separation/target.h"

namespace powderplan {

// CIEDE2000 (colour/quick_difference.h) over the grid points that are not bare in the target. `bare` here and
// below: 1 where a point is; empty: none is.
struct Spread {
  double mean = 0, p95 = 0;
};
Spread difference(const Image<PackedLab>& wanted, const Image<PackedLab>& got,
                  const Image<std::uint8_t>& bare);

// The mean difference when both are blurred as by the eye: a Gaussian, in linear light, whose width at half
// height is one minute of arc at this distance.
double seen_difference(const Image<PackedLab>& wanted, const Image<PackedLab>& got,
                       const Image<std::uint8_t>& bare, Millimetres pitch, Millimetres distance);

// Mean distance in mm from the edges of one picture's lightness to the nearest edge of the other's, both
// ways.
double edge_distance(const Image<PackedLab>& wanted, const Image<PackedLab>& got, Millimetres pitch);

// What a person gets with an image editor and a colour chart: `colours` k-means colours, each replaced by the
// nearest single powder at full load.
double flat_difference(const Painter& painter, const std::vector<std::size_t>& usable, const Target& target,
                       std::size_t colours);

// Every recipe of the shelf, and every label of the separation, allowed point by point, no smallest width.
double bound_difference(const ShelfReach& reach, const std::vector<Lab>& labels, const Target& target);

}  // namespace powderplan
