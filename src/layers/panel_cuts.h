// Where a piece that is larger than the kiln's shelf is cut into panels: along straight lines, from edge to
// edge, that cross as little of the picture as can be.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "layers/layer.h"
#include "separation/separation.h"
#include "separation/target.h"
#include "shape.h"
#include "units.h"

namespace powderplan {

// A kiln's shelf. Along its edges some of it stays free: glass spreads as it softens, dams stand there, and
// the heat is least even (common practice, no source).
struct ShelfSize {
  Millimetres width, height;
  friend bool operator==(const ShelfSize&, const ShelfSize&) = default;
};
inline constexpr Millimetres usual_shelf_margin{15};
struct Shelf {
  ShelfSize size;
  Millimetres margin = usual_shelf_margin;
};
// Of the shelf within its margins, both ways: less than this leaves no choice of where to cut.
inline constexpr Millimetres least_shelf_room{120};
// No cut leaves a narrower panel: it could neither be broken off clean nor be held while its edge is ground
// (common practice, no source). A piece that is narrower itself stays so.
inline constexpr Millimetres least_panel_edge{50};
inline constexpr std::size_t most_panels = 99;

// Points of the grid; right and bottom are the first beyond.
struct GridBox {
  int left = 0, top = 0, right = 0, bottom = 0;
  friend bool operator==(const GridBox&, const GridBox&) = default;
};
BoxMm in_mm(const GridBox& box, Millimetres pitch);

// Rows and columns count from 0. Panels are named by their number, from 1, row by row.
struct Panel {
  std::size_t row = 0, column = 0;
  GridBox box;
  friend bool operator==(const Panel&, const Panel&) = default;
};

struct PanelCut {
  PointMm from, to;
  std::size_t crossed = 0;  // changes of what lies there, met on the way
};

struct PanelLayout {
  std::vector<Panel> panels;   // empty: the piece is not cut
  std::vector<PanelCut> cuts;  // in the order in which they are made: none goes across an earlier one
  std::size_t crossed = 0;     // by all cuts
  std::optional<std::size_t>
      crossed_if_even{};  // by as many cuts, evenly spaced; of a plan read back not known
};

// A line costs, for every change of the separation's labels (or of a drawn line) that is met along either
// side of it, 1 and a tenth of the picture's colour difference across the change (CIE 1976, 30 at most),
// halved; and for every mm along which such a change runs beside it, closer than `smallest`, sliver_price:
// what is left between them could not be cut well. A line on such a change costs nothing for it.
inline constexpr double sliver_price = 0.2;
// Uneven parts must be worth it: with the parts' shares of the whole length squared and summed, this times
// the mean cost of a line is added. Half the length in two parts or a fifth and the rest: 9 % of a line.
inline constexpr double evenness_price = 0.5;

// Cuts go through from edge to edge, first in one direction; every strip is then cut for itself across.
// Both directions are tried. So all cuts can be made in glass, corners meet in threes as a rule, which are
// easier to keep true than four, and each strip can go round what lies in it; rows and columns right through
// are one such layout. Of all of them the fewest panels that fit the shelf lying either way; of these, by
// dynamic programming over all places of a cut (whole mm, or the nearest line of the grid), the strips whose
// lines cost least, then of each strip the lines that cost least; of both directions the cheaper. Equal ones:
// the most even, then those farther left and up. Empty when the piece fits as it is.
// Time is linear in the area. Bytes beside the inputs: some for each row and column.
PanelLayout cut_into_panels(const Separation& separation, const std::vector<Layer>& layers,
                            const Image<PackedLab>& wanted, const Shelf& shelf, Millimetres smallest);

// The fewest panels of a piece of this size in such a layout; 1 when it fits.
std::size_t fewest_panels(const Grid& grid, const Shelf& shelf);

// Exact parts of a length: by places (the first 0, the last the length) and the cost of a cut at each of them
// (those of the ends do not count), with a number for a part of such a length, 0 where it may not be. The
// smallest sum of these numbers, then of cost and evenness; nothing when there is none.
struct Parting {
  std::vector<int> ends;  // 0, ..., the length
  std::size_t count = 0;
  double cost = 0;   // of the cuts
  double value = 0;  // cost and evenness, what was made least
};
Parting best_parting(const std::vector<int>& places, const std::vector<double>& costs,
                     const std::vector<std::size_t>& count_of_length);

// Of a box of the piece: what a cut down at each of its columns (0 to its width) and across at each of its
// rows would cost; 0 at its ends.
struct CutCosts {
  std::vector<double> down, across;
};
CutCosts cut_costs(const Separation& separation, const std::vector<Layer>& layers,
                   const Image<PackedLab>& wanted, const GridBox& box, Millimetres smallest);

}  // namespace powderplan
