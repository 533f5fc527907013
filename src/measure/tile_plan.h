// Plans a step tile: which sheets, how many cells, how heavy, how large, and where on the card.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "glass/palette.h"
#include "measure/tile.h"
#include "measure/tile_layout.h"
#include "range.h"

namespace powderplan {

inline constexpr Range tile_cells{3, 10};
inline constexpr std::size_t most_tile_rows = 4;
inline constexpr Range tile_scales{0.0001, 1, "g"};
inline constexpr Range tile_cell_widths{8, 60, "mm"};

struct TileRules {
  std::size_t cells = 7;        // of each powder, the bare one included; within tile_cells
  Grams scale{0.01};            // within tile_scales
  std::string light{}, dark{};  // ids of sheets; empty: the lightest and the darkest opaque one
  Finish finish = Finish::full;
  CardPage page{};
  // Of a cell; then a cell is 1.2 times as high on each ground where there is room. Empty: 20 by 24 mm, less
  // where more cells or rows must fit, more where a powder needs so little that the scale could not show it.
  std::optional<Millimetres> cell_width{};
};

struct TilePlan {
  Tile tile;
  CellSize cell;
  std::vector<std::string> notes;  // what the user should know before glass is cut
};

// Loads: evenly spread in predicted lightness from bare up to where the powder has nearly arrived
// (tile_loads.h); grams are rounded to the scale, and the load is that of the rounded grams. `palette_file`
// only names the place of faults. Throws Problem: (command_line) no powder or too many, one twice or unknown,
// a sheet that is unknown or transparent, numbers out of range, no finish, cells that do not fit on the page,
// a scale too coarse for a powder; (input) no two opaque sheets, one light and one dark, on the shelf.
TilePlan plan_tile(const Palette& palette, const std::vector<std::string>& powders, const TileRules& rules,
                   const std::string& palette_file);

}  // namespace powderplan
