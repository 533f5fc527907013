// What it takes to cut a stencil by hand.
#pragma once

#include <cstddef>

#include "layers/sheet_stock.h"
#include "layers/stencil.h"
#include "units.h"

namespace powderplan {

// Common practice, no source: time yourself over one stencil and put your own numbers here.
struct CuttingPace {
  double mm_per_minute = 250;      // of a knife that follows a line to some tenths of a mm, each pass
  double seconds_per_opening = 8;  // to set the blade, break out the piece, and look
  double seconds_per_corner = 2;   // to stop, and turn the sheet or the blade, each pass
};

struct StencilEffort {
  std::size_t openings = 0, bridges = 0, corners = 0;
  Millimetres cut;  // length of all openings' edges
  double minutes = 0;
};

StencilEffort stencil_effort(const Stencil& stencil, const SheetStock& stock, const CuttingPace& pace = {});

// Places where the outline turns by at least corner_turn_deg within corner_way: there a blade stops.
std::size_t corners_of(const PolygonMm& shape);
inline constexpr double corner_turn_deg = 50;
inline constexpr Millimetres corner_way{1.0};

}  // namespace powderplan
