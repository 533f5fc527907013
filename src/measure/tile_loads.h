// How heavy the cells of a step tile are: spread evenly along the way that a powder's lightness goes.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "glass/palette.h"
#include "optics/finish.h"
#include "units.h"

namespace powderplan {

// Lightness (CIE L*) of a bare sheet that lies on white paper, in daylight.
double lightness_of(const Sheet& sheet, Density density);

// The lightness of a powder over a light and over a dark sheet, from bare to a deep coat. Its way at a load
// is the sum of what L* has gone through over both grounds, up and down alike: a dark powder makes its way
// over the light ground, a light one over the dark, and a transparent one is still on its way at a full load.
class LightnessWay {
 public:
  LightnessWay(const Powder& powder, const Sheet& light, const Sheet& dark, Density density, Finish finish);
  // The load at which this much of the way is done; the deepest that was looked at where it is longer.
  [[nodiscard]] Load load_at(double way) const;
  [[nodiscard]] double way_at(Load load) const;
  // Where the powder has nearly arrived: `arrived` of the way that `deepest` loads go, or a full load where
  // that is less.
  [[nodiscard]] Load last() const;

  static constexpr double arrived = 0.95;
  static constexpr Load deepest = full_load * 4;

 private:
  std::vector<double> loads_, ways_;  // both rising from 0
};

// What a scale can show of the cells of one powder.
struct CellSteps {
  std::vector<long> steps;  // of the scale, for each cell; the bare one, first, has 0
  // The lightest cell is as light as even spacing asks, and it is at least `least_steps`.
  bool even = true;
  double lightest_wished = 0;  // what even spacing asks of the lightest cell, in steps
};

// A cell weighed to half a step is within a tenth from here on.
inline constexpr long least_steps = 5;

// Cells of this area, evenly along the way up to its last load, rounded to the scale. Where the lightest
// would be less than `least_steps`, it is raised to that and the others are spread from there. Empty when the
// scale cannot tell that many cells apart.
std::optional<CellSteps> cell_steps(const LightnessWay& way, std::size_t cells, double area_cm2, Grams scale);

}  // namespace powderplan
