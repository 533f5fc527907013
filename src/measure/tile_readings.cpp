#include "measure/tile_readings.h"

#include <fmt/format.h>

#include "optics/finish.h"

namespace powderplan {
namespace {

BoxMm inner(const BoxMm& half) {
  return {half.left + cell_margin, half.top + cell_margin, half.right - cell_margin,
          half.bottom - cell_margin};
}

}  // namespace

Readings read_row(const Tile& tile, std::size_t row, const CardPhoto& photo, Millimetres grain,
                  Density density, const std::vector<Grams>& real_grams) {
  const TileRow& cells = tile.rows[row];
  Readings readings;
  readings.grain = grain;
  readings.flow = flow_for(tile.finish, grain);
  readings.density = density;
  std::size_t weighed = 0;
  for (std::size_t i = 0; i < cells.cells.size(); ++i) {
    const TileCell& cell = cells.cells[i];
    const auto read = [&](const BoxMm& half, std::string_view ground) {
      return photo
          .read(inner(half), fmt::format("cell {} of {} on the {} ground", i + 1, cells.powder, ground))
          .colour;
    };
    const Xyz light = read(cell.light, "light"), dark = read(cell.dark, "dark");
    if (cell.grams <= Grams(0)) {
      readings.grounds = {{"light", opaque_ground(light)}, {"dark", opaque_ground(dark)}};
      continue;
    }
    Load load = cell.load;
    if (!real_grams.empty())
      load = load * (real_grams[weighed++] / cell.grams);
    readings.steps.push_back({load, 0, light});
    readings.steps.push_back({load, 1, dark});
  }
  return readings;
}

}  // namespace powderplan
