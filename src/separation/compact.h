// A finished choice with its map, written down as a separation.
#pragma once

#include "separation/faded_choice.h"
#include "separation/separation.h"

namespace powderplan {

// Keeps the powders, loads, labels and fades that occur; loads in whole milligrams per cm2. The map must have
// the grid's size. A fade without a template becomes a powder of the choice that every label has.
Separation compacted(const Grid& grid, FadedChoice faded);

}  // namespace powderplan
