// Light strokes in an even field need no powder: they are scratched out of it while it is loose.
#pragma once

#include <cstdint>
#include <vector>

#include "layers/layer.h"
#include "units.h"

namespace powderplan {

// A field is even where the layer lies with at least this share of its load.
inline constexpr double even_amount = 0.95;

// The share (0..1) of the length of the strokes that runs inside the field of a layer: with at least
// `smallest` of it beside the stroke on every side. `amount` is the layer's, and of the
// size of `strokes`, which is not 0 where a stroke is. Under the strokes themselves the layer may lie or not,
// and beyond the edge of the piece the field goes on. 0 when there are no strokes.
double scratched_share(const Image<Amount>& amount, const Image<std::uint8_t>& strokes, const Grid& grid,
                       Millimetres smallest);

// The same for each of many strokes: `pieces` has the number of a stroke, from 1 to `count`, or 0.
std::vector<double> scratched_shares(const Image<Amount>& amount, const Image<int>& pieces, int count,
                                     const Grid& grid, Millimetres smallest);

}  // namespace powderplan
