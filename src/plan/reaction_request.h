// What a request asks of powders that react with each other.
#pragma once

#include <vector>

#include "glass/palette.h"
#include "plan/request.h"
#include "separation/pair_price.h"

namespace powderplan {

// What a contact costs that is to be avoided, and what one that is wished for is worth, CIEDE2000. Our
// choice: a dark line is plainly another colour, and a wish gives way to the picture wherever the two differ
// by more than a little: worth six times as much, it covers whole fields with both powders.
inline constexpr double price_of_avoided = 10;
inline constexpr double worth_of_wished = 0.5;

// Each pair once. Throws Problem (command_line), its place --react: ids that are not on the shelf, sheets, a
// powder with itself, powders that do not react, and a wish for a powder that is left out.
std::vector<PairPrice> pair_prices(const PlanRequest& request, const Palette& palette);

}  // namespace powderplan
