// Where the four corner cards with their marks lie round a piece that is to be photographed.
#pragma once

#include "photo/card.h"
#include "units.h"

namespace powderplan {

// A corner card is a square of paper; its inner corner touches the piece's corner, and the mark is its
// middle.
inline constexpr double corner_card_mm = 30;
// White paper reaches at least so far beyond the piece on all sides.
inline constexpr double paper_beyond_mm = 32;
// Where a neutral card lies: below the piece, from its left edge on, mm. A narrow piece has room for less.
inline constexpr double reference_width_mm = 60, reference_height_mm = 30, reference_gap_mm = 4;

// The piece's own top left corner is at (0, 0), so marks and paper have coordinates outside it.
CardLayout piece_card(Millimetres width, Millimetres height);
// The same, when the user points out the corners of the piece itself.
CardLayout piece_card_without_marks(Millimetres width, Millimetres height);

}  // namespace powderplan
