// Distance of many colours to one wanted colour, fast: CIEDE2000 taken as a quadratic form at that colour.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "colour/tristimulus.h"
#include "separation/colour_index.h"

namespace powderplan {

// Colours are handled in blocks of so many, side by side.
inline constexpr std::size_t colours_in_a_block = 16;

// Colours as three columns, padded with far-off colours to whole blocks.
struct LabColumns {
  explicit LabColumns(const std::vector<Lab>& colours);
  // Room for so many, all far off.
  explicit LabColumns(std::size_t count);
  std::vector<float> l, a, b;
};

// (light * dL)^2 + (a1 * da + a2 * db)^2 + (b1 * da + b2 * db)^2: the terms of CIEDE2000 with its weights and
// its rotation, taken at the wanted colour. For differences of a few units it is within some per cent of
// CIEDE2000.
class LocalMetric {
 public:
  explicit LocalMetric(const Lab& wanted);
  [[nodiscard]] double square_distance(const Lab& other) const;
  // A colour's three terms whose squares add up to that; linear in the colour.
  [[nodiscard]] std::array<float, 3> terms(float l, float a, float b) const {
    return step(l - l_, a - a_, b - b_);
  }
  // What a step in Lab adds to the terms.
  [[nodiscard]] std::array<float, 3> step(float dl, float da, float db) const {
    return {light_ * dl, a1_ * da + a2_ * db, b1_ * da + b2_ * db};
  }
  // Square distance of the nearest of the columns.
  [[nodiscard]] float nearest(const LabColumns& colours) const;

 private:
  float l_, a_, b_;
  float light_, a1_, a2_, b1_, b2_;
};

}  // namespace powderplan
