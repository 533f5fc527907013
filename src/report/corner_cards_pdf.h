// Four corner cards to print and cut out, by which the photo of a fired piece is read.
#pragma once

#include <cstdint>
#include <vector>

#include "report/paper.h"

namespace powderplan {

// One page at true size: the cards of photo/piece_card.h, which corner each belongs to, how to lay the piece
// and to photograph it, and a length to measure. The same paper gives the same bytes.
std::vector<std::uint8_t> corner_cards_pdf(const Paper& paper);

}  // namespace powderplan
