// Lines that a hand draws with a pen of adhesive or a fine nozzle: their middle, how wide they are, their
// order.
#pragma once

#include <cstdint>
#include <vector>

#include "raster/image.h"
#include "shape.h"
#include "units.h"

namespace powderplan {

struct LineRules {
  Millimetres least_width{0.5};  // of what the hand lays; a thinner stroke becomes so wide
  Millimetres most_width{4.0};   // a wider stroke is drawn so wide
  Millimetres tolerance{0.1};    // simplifying moves no line, and no edge of one, farther
  // Two ends that point at each other across a gap up to this are one line.
  Millimetres gap{1.5};
  // Where lines meet, one goes on into another when it turns by no more than this.
  double most_turn_deg = 50;
};

// One stroke of the hand, in the direction in which it is drawn.
struct LinePath {
  LineMm points;                 // at least two; the ends are the middles of round ends
  std::vector<double> width_mm;  // of the stroke, at each point, before least_width and most_width
  double length_mm = 0;
};

struct LinePlan {
  std::vector<LinePath> paths;  // in the order in which they are drawn
  double length_mm = 0;         // of all paths
  double travel_mm = 0;         // of the hand from the end of each path to the beginning of the next
};

// `strokes` is not 0 where a stroke is. Middle lines are the skeleton (Guo and Hall 1989) without spurs
// shorter than the local width, moved to the middle of the stroke and smoothed; where lines meet they go
// straight on. The order is greedy, then mended by 2-opt and Or-opt (Croes 1958, Or 1976) with paths in
// either direction; travel counts first, and of the two directions of the whole the one is taken that goes
// more from the top left to the bottom right, away from what is laid for a right hand that rests below its
// pen.
LinePlan trace_lines(const Image<std::uint8_t>& strokes, const Grid& grid, const LineRules& rules);

// The same where points are covered in part: `cover` (0 to 255) tells more exactly than `strokes` how wide a
// stroke is and where its middle lies. Of the size of `strokes`.
LinePlan trace_lines(const Image<std::uint8_t>& strokes, const Image<std::uint8_t>& cover, const Grid& grid,
                     const LineRules& rules);

// What the hand lays: wholly_covered inside the drawn lines, less where an edge passes through a point. Ends
// are round.
inline constexpr std::uint16_t wholly_covered = 65535;
Image<std::uint16_t> drawn(const LinePlan& plan, const Grid& grid, const LineRules& rules);

}  // namespace powderplan
