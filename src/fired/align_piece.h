// A photographed piece moved the last few millimetres on to its plan.
#pragma once

#include "fired/seen_piece.h"
#include "units.h"

namespace powderplan {

// Moved so that it lies on `planned`, a picture of the same grid: by the affine map that makes the lightness
// of the two correlate most (Evangelidis and Psarakis 2008, enhanced correlation coefficient). Untrusted
// points do not pull, and what they reach or what came from outside is untrusted afterwards. Left as it is
// where nothing in the picture can be held on to, where the two are hardly alike, and where a corner would
// move by more than `most_moved`.
SeenPiece aligned(const SeenPiece& seen, const Image<Xyz>& planned);

// Placing errors beyond this are none: the marks are found better.
inline constexpr Millimetres most_moved{6};

}  // namespace powderplan
