// The template of one layer with all that is needed to make it: cut lines, sheet, time, repeats.
#pragma once

#include <optional>
#include <vector>

#include "layers/repeats.h"
#include "layers/sheet_stock.h"
#include "layers/stencil.h"
#include "layers/stencil_effort.h"
#include "units.h"

namespace powderplan {

// Which openings of one shape are cut once, as a small template that is laid at every place.
enum class RepeatUse {
  never,
  found,   // where that saves time and no place lies too close to another opening
  always,  // wherever a shape comes again
};

struct RepeatTemplate {
  Repeat repeat;
  Stencil small;         // its own sheet
  double saved_minutes;  // of cutting, less the time to lay it at all places
};

struct CutStencil {
  Stencil stencil;
  // The layer was to be one opening and is laid in two: 1 and 2. 0: it is whole.
  int part = 0;
  // Of all points that should be open and are not: rise of the colour difference (CIEDE2000) times area. What
  // the second part of a layer does not mend is counted with the first.
  double error_cm2 = 0;
  // The same where every island is held by the shortest bridges.
  double shortest_error_cm2 = 0;
  StockChoice stock;
  StencilEffort effort;
  std::vector<RepeatTemplate> repeats;
};

struct CutSetup {
  Load load;              // of the layer: a sifter that sweeps evenly leaves as much on the sheet
  Millimetres narrowest;  // opening or web
  bool raised = false;    // on spacers
  bool even_coat = true;  // else its places differ, and nothing is repeated
  RepeatUse repeats = RepeatUse::found;
};

// Chooses the sheet, says how long cutting takes, and looks for repeats. The cut lines must be there.
void set_up_cutting(CutStencil& cut, const CutSetup& setup);

// Height of the spacers below a raised stencil (common practice, no source): clears an unfired coat of a
// quarter of a full load.
inline constexpr Millimetres spacer_height{3.0};
// To lay a small template on its marks, sift, and lift it (common practice, no source).
inline constexpr double minutes_per_place = 0.5;

}  // namespace powderplan
