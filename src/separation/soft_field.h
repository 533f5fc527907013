// A load that a hand sifts: smooth at the scale of the cloud that falls from the sifter.
#pragma once

#include <vector>

#include "raster/image.h"
#include "units.h"

namespace powderplan {

// A sum of equal soft spots on a square lattice, each a cubic B-spline (Schoenberg 1946) of lattice distance
// `spacing`. The sharpest edge it can have, weights 0 on one side and 1 on the other, rises like the integral
// of the quadratic B-spline, whose standard deviation is spacing / 2. Weights within 0 and 1 keep the field
// within 0 and 1.
class SoftField {
 public:
  SoftField() = default;
  // Over a piece of this size; all weights are `value`.
  SoftField(Millimetres width, Millimetres height, Millimetres spacing, float value = 0);

  [[nodiscard]] int columns() const { return columns_; }
  [[nodiscard]] int rows() const { return rows_; }
  [[nodiscard]] Millimetres spacing() const { return spacing_; }
  [[nodiscard]] std::vector<float>& weights() { return weights_; }
  [[nodiscard]] const std::vector<float>& weights() const { return weights_; }

  // The 4 x 4 spots that reach a point, and how much of each.
  struct Reach {
    int first_column = 0, first_row = 0;
    float across[4] = {}, down[4] = {};
  };
  [[nodiscard]] Reach reach(double x_mm, double y_mm) const;
  [[nodiscard]] float at(const Reach& reach) const;
  // At the middles of all points of a grid.
  [[nodiscard]] Image<float> on(const Grid& grid) const;

 private:
  Millimetres spacing_{1};
  int columns_ = 0, rows_ = 0;
  std::vector<float> weights_;  // row by row
};

// Distance over which an edge of a normal law rises from 10 to 90 %, in standard deviations.
inline constexpr double edge_in_deviations = 2.563;
// The lattice on which no edge rises from 10 to 90 % in less than `narrowest`.
Millimetres spacing_for_edge(Millimetres narrowest);

}  // namespace powderplan
