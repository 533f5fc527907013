// Lines of equal height through a field of values, as on a map.
#pragma once

#include <vector>

#include "raster/image.h"
#include "shape.h"

namespace powderplan {

// Values at the crossings of a square-meshed lattice: (column, row) lies at (column * across, row * down) mm.
struct Lattice {
  Image<float> values;
  double across = 1, down = 1;
};

// The lines on which the field, straight along every side of a mesh, has this level; where all four sides of
// a mesh are crossed its mean tells which belong together. Lines end where the lattice does; one that closes
// repeats its first point at its end. In the order of the meshes, row by row, in which they are first met.
std::vector<LineMm> level_lines(const Lattice& field, double level);

// With few points, none of the left out ones farther than `tolerance` mm from the line (Douglas and Peucker
// 1973).
LineMm with_few_points(const LineMm& line, double tolerance);

double length_of(const LineMm& line);

}  // namespace powderplan
