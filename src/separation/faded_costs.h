// What each label costs at each point, fades counted in.
#pragma once

#include "separation/colour_index.h"
#include "separation/cost_table.h"
#include "separation/faded_choice.h"

namespace powderplan {

struct FadedCosts {
  Image<std::uint16_t> row_at;  // which row of the table, at each point
  CostTable costs;
};

// `colour_at` gives the colour wanted at each point of a map of this pitch, out of `index`. Points that want
// the same colour and carry nearly the same of every fade share a row.
FadedCosts faded_costs(const Painter& painter, const FadedChoice& faded, const ColourIndex& index,
                       const Image<std::uint16_t>& colour_at, Millimetres pitch);

}  // namespace powderplan
