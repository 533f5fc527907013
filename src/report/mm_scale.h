// The millimetre scale along the edges of a picture of the piece.
#pragma once

namespace powderplan {

// Steps of a scale along this length, mm: 1, 2 or 5 times a power of ten, about forty of them. Every fifth
// has its number.
double scale_step(double length);

}  // namespace powderplan
