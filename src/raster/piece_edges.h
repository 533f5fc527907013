// How long an edge of a piece may be.
#pragma once

#include "range.h"

namespace powderplan {

// What a person can mean to make of glass.
inline constexpr Range piece_edges{1, 5000, "mm"};

}  // namespace powderplan
