// The cells of a tile, read off its photo.
#pragma once

#include <optional>

#include "measure/readings.h"
#include "measure/tile.h"
#include "photo/card_photo.h"

namespace powderplan {

// One row. `grain` is that of its powder; `real_grams`, where given, must have one weight for each cell that
// carries powder, from left to right, and takes the place of the planned ones. Throws Problem (input) when a
// cell cannot be read.
Readings read_row(const Tile& tile, std::size_t row, const CardPhoto& photo, Millimetres grain,
                  Density density, const std::vector<Grams>& real_grams = {});

// Only the middle of a half cell counts: powder is thin at its edges, and glass throws a shadow. mm
inline constexpr double cell_margin = 3.0;

}  // namespace powderplan
