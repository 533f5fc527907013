// How thick a piece is after each of its firings.
#pragma once

#include <span>
#include <vector>

#include "firing/firing.h"
#include "raster/image.h"

namespace powderplan {

// Powder as solid glass.
inline Millimetres glass_thickness(Load load, Density density) {
  return Millimetres(load / load_of_sheet(Millimetres(1), density));
}

// After each of `firings`: the sheet, and the powder of this firing and those before it as solid glass, where
// that is thickest. Of powder the mean over squares half as wide as the sheet is thick counts, because in a
// narrower ridge heat gets in and out sideways. A choice of ours.
std::vector<Millimetres> thickness_after_firings(std::span<const Layer> layers,
                                                 std::span<const LayerPlace> places, std::size_t firings,
                                                 const Grid& grid, const Sheet& sheet, Density density);

}  // namespace powderplan
