// Fades with fields given by a function, for tests.
#pragma once

#include <algorithm>
#include <cmath>

#include "layers/fade_bench.h"
#include "layers/layer.h"
#include "separation/separation.h"

namespace powderplan {

// A field whose weights are a function (0..1) of x and y in mm: where that is straight, the field is the
// same.
template <class Amount>
SoftField field_by(const Grid& grid, Millimetres spacing, Amount&& amount) {
  SoftField field(grid.pitch * grid.width, grid.pitch * grid.height, spacing);
  for (int row = 0; row < field.rows(); ++row) {
    for (int column = 0; column < field.columns(); ++column)
      field.weights()[static_cast<std::size_t>(row * field.columns() + column)] = static_cast<float>(
          std::clamp<double>(amount((column - 1) * spacing.value(), (row - 1) * spacing.value()), 0.0, 1.0));
  }
  return field;
}

// One powder with one load, laid as one fade where `open`, a function of x and y in mm, says so.
template <class Open>
Separation one_fade(const Grid& grid, Load load, SoftField field, bool free, Open&& open) {
  Separation separation;
  separation.grid = grid;
  separation.choice = {nest_of(0, {load})};
  separation.labels = {{0}, {1}};
  separation.label_at = Image<std::uint16_t>(grid.width, grid.height);
  const double pitch = grid.pitch.value();
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x)
      separation.label_at.at(x, y) = open((x + 0.5) * pitch, (y + 0.5) * pitch) ? 1 : 0;
  }
  separation.fades = {{0, 1, free, std::move(field)}};
  return separation;
}

inline Separation one_free_fade(const Grid& grid, Load load, SoftField field) {
  return one_fade(grid, load, std::move(field), true, [](double, double) { return true; });
}

namespace trial_fade {

inline constexpr Grid grid{Millimetres(0.5), 240, 160};  // 120 x 80 mm
inline constexpr Millimetres low_edge{8};
inline const Millimetres spacing = spacing_for_edge(low_edge);
inline constexpr Load load{0.12};

struct Laid {
  Separation separation;
  Layer layer;
  FadeBench bench;

  explicit Laid(Separation given) : separation(std::move(given)), layer(make_layers(separation).at(0)) {
    bench = fade_bench(layer, *fade_of(separation, layer), separation.grid, low_edge);
  }
};

template <class Amount>
Laid free_fade(Amount&& amount, Millimetres by = spacing) {
  return Laid(one_free_fade(grid, load, field_by(grid, by, amount)));
}

template <class Amount, class Open>
Laid bounded_fade(Amount&& amount, Open&& open) {
  return Laid(one_fade(grid, load, field_by(grid, spacing, amount), false, open));
}

}  // namespace trial_fade
}  // namespace powderplan
