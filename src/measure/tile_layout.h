// Where the strips, cells, marks and white places of a step tile lie on one printed page.
//
// The page stands upright. Marks are in its corners; between the upper two is a line of text, between the
// lower two the place for a neutral card or a chart, with text beside it. Rows lie below each other, with
// white paper above, below and on both sides.
#pragma once

#include <cstddef>
#include <vector>

#include "measure/tile.h"
#include "units.h"

namespace powderplan {

struct CellSize {
  double width = 20, height = 24;  // on each ground, mm
};

// Of glass beyond the cells at the ends and the outer long edges of strips: cut edges round off in the kiln.
inline constexpr double strip_edge = 3;
// Bare glass between the cells of a row, mm.
inline constexpr double cell_gap = 2;
// White paper keeps this far from glass, print and the edge of what is laid on it, mm.
inline constexpr double white_gap = 2;
inline constexpr double reference_width = 60, reference_height = 40;

struct CardPage {
  double width = 210, height = 297;  // mm
};

// The largest cells for which there is room, in half millimetres.
double widest_cell(const CardPage& page, std::size_t cells);
double highest_cell(const CardPage& page, std::size_t rows);

struct CellPlace {
  BoxMm light, dark;
};

struct TileLayout {
  CardLayout card;
  std::vector<std::vector<CellPlace>> rows;  // by row and cell
};

// Needs cells that fit.
TileLayout layout_of_tile(const CardPage& page, std::size_t rows, std::size_t cells, const CellSize& size);

// The two strips of a row, as they lie on the card.
struct StripPair {
  BoxMm light, dark;
};
StripPair strips_of(const TileRow& row);

// Where text goes on the card, clear of all white places.
struct CardWords {
  BoxMm head;    // between the upper marks
  BoxMm beside;  // right of the reference
  // Where text may run upwards beside a row: the left edge of a strip of paper `side_words` wide.
  double left = 0;
};
inline constexpr double side_words = 7;
CardWords words_of_card(const CardPage& page);

}  // namespace powderplan
