// How long an edge of a piece may be.
#pragma once

#include "range.h"

namespace powderplan {

// What a person can mean to make of glass. fit_to_piece (fit.h) refuses a height that follows from a picture's
// proportions and lies outside, with --width as its place.
inline constexpr Range piece_edges{1, 5000, "mm"};

}  // namespace powderplan
