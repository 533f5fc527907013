// A stencil: one sheet in one piece, with openings through which a powder is sifted.
#pragma once

#include <vector>

#include "shape.h"
#include "units.h"

namespace powderplan {

struct StencilRules {
  Millimetres smallest{2.0};   // no opening and no web narrower
  Millimetres bridge{2.0};     // width of a bridge, at least `smallest`
  Millimetres hold{80.0};      // of an island's outline that one bridge can hold
  Millimetres border{25.0};    // of sheet round the piece, on every side
  Millimetres tolerance{0.1};  // a cut line is nowhere farther from the smooth edge of its layer
  Millimetres pin{4.0};        // diameter of the holes for the registration pins
};

// A strip of sheet across an opening that holds what would fall out.
struct Bridge {
  LineMm middle;         // of the strip, from sheet to sheet
  double error_cm2 = 0;  // predicted rise of the colour difference (CIEDE2000) times area
};

// A short line in the border of a panel's stencil that goes on in its neighbour's (layers/panel_stencil.h).
// Should a machine cut it, it is a slit.
struct StencilMark {
  PointMm from, to;
  double on_piece_mm = 0;  // its place along the edge, from the piece's left or top edge
};

struct Stencil {
  Millimetres width, height;        // of the piece
  Millimetres border;               // the sheet is the piece and this on every side
  std::vector<PolygonMm> openings;  // simple, apart from each other, none inside another
  std::vector<PointMm> pins;        // middles of the pin holes, in the border; the same in every stencil
  Millimetres pin;                  // their diameter
  std::vector<Bridge> bridges;
  std::vector<StencilMark> marks{};  // none on the stencil of a whole piece
};

}  // namespace powderplan
