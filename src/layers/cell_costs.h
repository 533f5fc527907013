// What it costs to close points, known by square cells of the grid.
#pragma once

#include <utility>

#include "raster/image.h"

namespace powderplan {

// The rise of the predicted colour difference (CIEDE2000); it may be 0 or negative, as under a layer that
// covers.
class CellCosts {
 public:
  CellCosts() = default;
  // The first cell's corner is the piece's; cells are `cell` points wide, and the last ones may reach beyond
  // the piece.
  CellCosts(Image<float> costs, int cell) : costs_(std::move(costs)), cell_(cell) {}
  // Each point a cell of its own.
  CellCosts(Image<float> costs) : CellCosts(std::move(costs), 1) {}

  [[nodiscard]] int cell() const { return cell_; }
  [[nodiscard]] const Image<float>& costs() const { return costs_; }
  // Of one cell.
  void set(int column, int row, float cost) { costs_.at(column, row) = cost; }
  // Of a point of the grid.
  [[nodiscard]] float at(int x, int y) const { return costs_.at(x / cell_, y / cell_); }

 private:
  Image<float> costs_;
  int cell_ = 1;
};

// Cells over so many points.
constexpr int cells_over(int points, int cell) {
  return (points + cell - 1) / cell;
}

}  // namespace powderplan
