// Separations drawn by hand.
#pragma once

#include "separation/separation.h"

namespace powderplan {

// `label(x, y)` is a place in `labels`; the first label must be bare sheet.
template <class Label>
Separation drawn_separation(const Grid& grid, const Choice& choice, const std::vector<Tones>& labels,
                            Label&& label) {
  Separation separation{grid, choice, labels, Image<std::uint16_t>(grid.width, grid.height)};
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < grid.width; ++x)
      separation.label_at.at(x, y) = static_cast<std::uint16_t>(label(x, y));
  }
  return separation;
}

}  // namespace powderplan
