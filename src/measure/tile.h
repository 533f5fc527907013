// A step tile: cells of known load of one or several powders, each over a light and a dark ground, that are
// fired, photographed and measured.
//
// A row is one powder. Its tile is a strip of light and a strip of dark opaque sheet, laid edge to edge;
// every cell lies half on the one, half on the other, and one cell of the row stays bare.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "optics/finish.h"
#include "photo/card.h"
#include "units.h"

namespace powderplan {

struct TileCell {
  Load load;          // from the grams that the scale can show; 0 for the bare cell
  Grams grams;        // to sift onto the whole cell
  BoxMm light, dark;  // where its halves lie on the card
};

struct TileRow {
  std::string powder;           // id
  std::string name;             // as on the jar
  std::vector<TileCell> cells;  // left to right, the bare one first, then lightest load first
};

struct Tile {
  CardLayout card;
  double card_width = 0, card_height = 0;  // of the printed page, mm
  std::string light_sheet, dark_sheet;     // ids
  Finish finish = Finish::full;            // that the tile is fired to
  Grams scale{0.01};                       // smallest step of the scale
  std::vector<TileRow> rows;
};

}  // namespace powderplan
