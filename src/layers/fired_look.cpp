#include "layers/fired_look.h"

#include <algorithm>

#include "parallel.h"

namespace powderplan {

std::vector<Lab> spot_labs(const Painter& painter, const std::vector<Layer>& layers, const Spots& spots) {
  std::vector<Lab> labs(spots.count());
  // Spots are numbered as they are met: neighbours carry much the same coats.
  constexpr std::size_t block = 1024;
  for_each_block((labs.size() + block - 1) / block, [&](std::size_t b) {
    Coats coats;
    for (std::size_t spot = b * block; spot < std::min(labs.size(), (b + 1) * block); ++spot)
      labs[spot] = to_lab(painter.xyz(recipe_at(spots, spot, layers), coats));
  });
  return labs;
}

Image<PackedLab> fired_colours(const Painter& painter, const std::vector<Layer>& layers, const Spots& spots) {
  const std::vector<Lab> labs = spot_labs(painter, layers, spots);
  Image<PackedLab> out(spots.at().width(), spots.at().height());
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = to_pixel(labs[spots.at()[i]]);
  return out;
}

Image<PackedLab> fired_colours(const Painter& painter, const std::vector<Layer>& layers, const Grid& grid,
                               Amount levels) {
  return fired_colours(painter, layers, Spots(layers, grid.width, grid.height, levels));
}

}  // namespace powderplan
