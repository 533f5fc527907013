// The printed pages of a step tile, at true size: the card that is photographed, the guide for laying it, and
// a mask with a collar to sift through.
#pragma once

#include <cstdint>
#include <vector>

#include "measure/tile.h"

namespace powderplan {

// Length that is measured on the print to see that it came out at true size, mm.
inline constexpr double tile_check_length = 50;
// Height of the collar's walls, mm: the sifter is held inside.
inline constexpr double collar_height = 25;

// PDF, pages of the card's size:
//   1  the card: marks, a frame for the strips of every row, the place for a grey card; nothing is printed
//      within `white_gap` (measure/tile_layout.h) of a white place
//   2  every row at its place, cells with their grams
//   3  a mask with one opening of a cell's size, and the walls of a collar of that size
// Needs a tile with at least one row. The same tile gives the same bytes.
std::vector<std::uint8_t> tile_pdf(const Tile& tile);

}  // namespace powderplan
