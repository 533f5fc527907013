#include "separation/soft_field.h"

#include <cmath>

#include "parallel.h"

namespace powderplan {
namespace {

// The four pieces of the cubic B-spline at `t` (0..1) between two lattice lines.
void spline(double t, float* out) {
  const double u = 1 - t;
  out[0] = static_cast<float>(u * u * u / 6);
  out[1] = static_cast<float>((3 * t * t * t - 6 * t * t + 4) / 6);
  out[2] = static_cast<float>((3 * u * u * u - 6 * u * u + 4) / 6);
  out[3] = static_cast<float>(t * t * t / 6);
}

int lattice(Millimetres length, Millimetres spacing) {
  // One line beyond each end, and one more for the last piece.
  return static_cast<int>(std::floor(length / spacing)) + 4;
}

}  // namespace

SoftField::SoftField(Millimetres width, Millimetres height, Millimetres spacing, float value)
    : spacing_(spacing),
      columns_(lattice(width, spacing)),
      rows_(lattice(height, spacing)),
      weights_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_), value) {}

SoftField::Reach SoftField::reach(double x_mm, double y_mm) const {
  Reach reach;
  const double x = x_mm / spacing_.value(), y = y_mm / spacing_.value();
  const double left = std::floor(x), top = std::floor(y);
  reach.first_column = static_cast<int>(left);
  reach.first_row = static_cast<int>(top);
  spline(x - left, reach.across);
  spline(y - top, reach.down);
  return reach;
}

float SoftField::at(const Reach& reach) const {
  float sum = 0;
  for (int r = 0; r < 4; ++r) {
    const float* row = weights_.data() +
                       static_cast<std::size_t>(reach.first_row + r) * static_cast<std::size_t>(columns_) +
                       static_cast<std::size_t>(reach.first_column);
    sum += reach.down[r] * (reach.across[0] * row[0] + reach.across[1] * row[1] + reach.across[2] * row[2] +
                            reach.across[3] * row[3]);
  }
  return sum;
}

Image<float> SoftField::on(const Grid& grid) const {
  Image<float> field(grid.width, grid.height);
  const double pitch = grid.pitch.value();
  std::vector<Reach> places;
  for (int x = 0; x < grid.width; ++x)
    places.push_back(reach((x + 0.5) * pitch, 0));
  for_each_row_band(grid.height, [&](int begin, int end) {
    // The spots of a row of points, drawn together downwards once for all its points.
    std::vector<float> spots(static_cast<std::size_t>(columns_));
    for (int y = begin; y < end; ++y) {
      const Reach row = reach(0, (y + 0.5) * pitch);
      const float* above =
          weights_.data() + static_cast<std::size_t>(row.first_row) * static_cast<std::size_t>(columns_);
      for (std::size_t c = 0; c < spots.size(); ++c)
        spots[c] = row.down[0] * above[c] + row.down[1] * above[c + spots.size()] +
                   row.down[2] * above[c + 2 * spots.size()] + row.down[3] * above[c + 3 * spots.size()];
      float* to = field.row(y);
      for (int x = 0; x < grid.width; ++x) {
        const Reach& place = places[static_cast<std::size_t>(x)];
        const float* spot = spots.data() + place.first_column;
        to[x] = place.across[0] * spot[0] + place.across[1] * spot[1] + place.across[2] * spot[2] +
                place.across[3] * spot[3];
      }
    }
  });
  return field;
}

Millimetres spacing_for_edge(Millimetres narrowest) {
  return narrowest * (2 / edge_in_deviations);
}

}  // namespace powderplan
