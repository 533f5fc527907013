// A flat card with marks, as it lies in millimetres: what a photo of it is read by.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "shape.h"

namespace powderplan {

// A mark is a black disc with a white ring in it: black up to the first radius, white up to the second, black
// up to the third; the first mark of a card is white again up to the fourth, which says which way is up.
// White paper surrounds it up to `mark_clear`. Radii in mm.
inline constexpr std::array<double, 4> mark_radii{7.0, 5.2, 3.4, 1.4};
inline constexpr double mark_clear = 9.0;

struct CardLayout {
  // Centres of the marks: top left (the one with the white eye), top right, bottom right, bottom left.
  std::array<PointMm, 4> marks;
  // Bare white paper, by which uneven light is judged. Never empty.
  std::vector<BoxMm> white;
  // Where a neutral card or a printed chart is laid. Empty: there is no such place.
  std::optional<BoxMm> reference;
};

}  // namespace powderplan
