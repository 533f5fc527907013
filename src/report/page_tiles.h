// A stencil's sheet cut into parts that fit on pages.
#pragma once

#include <string>
#include <vector>

#include "layers/stencil.h"

namespace powderplan {

// One part. Places are on the sheet: mm from its top left corner, the border included.
struct PageTile {
  int column = 0, row = 0;
  BoxMm box{};           // not beyond the sheet
  bool has_cut = false;  // a cut line, the edge of the sheet included, or a pin hole lies in it
};

struct Tiling {
  int columns = 1, rows = 1;
  double step_x = 0, step_y = 0;  // from one tile to the next
  double overlap = 0;             // of neighbours
  std::vector<PageTile> tiles;    // row by row
};

// Tiles of at most `width` by `height`; neighbours share a strip `overlap` wide, in whose middle their seam
// is. Needs width and height above the overlap.
Tiling tiling_of(const Stencil& stencil, Millimetres width, Millimetres height, Millimetres overlap);

// "B3": columns A, B, ..., Z, AA, ...; rows from 1.
std::string tile_name(int column, int row);

}  // namespace powderplan
