// What the strengths of the layers leave unexplained of a piece's colours: where powder lies unevenly.
#pragma once

#include "fired/seen_piece.h"
#include "separation/target.h"

namespace powderplan {

// Seen minus explained, Lab. Edges that do not quite meet leave thin stripes of large differences: medians
// and a blur take them out. What is left below a photo's noise is none, and what is above counts by how far
// it is above. `explained` is a picture of the same grid.
Image<LabPixel> unexplained(const Image<Xyz>& explained, const SeenPiece& piece);

}  // namespace powderplan
