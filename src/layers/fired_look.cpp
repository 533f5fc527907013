#include "layers/fired_look.h"

#include <algorithm>

#include "parallel.h"
#include "recipe/quick_painter.h"

namespace powderplan {

Load load_of_all(const std::vector<Layer>& layers) {
  Load sum;
  for (const Layer& layer : layers)
    sum += layer.load;
  return sum;
}

Image<PackedLab> fired_colours(const Painter& painter, const std::vector<Layer>& layers, const Spots& spots) {
  const Load heaviest = load_of_all(layers);
  std::vector<PackedLab> labs(spots.count());
  // So many that the tables of coats are worth making.
  constexpr std::size_t block = 16384;
  for_each_block((labs.size() + block - 1) / block, [&](std::size_t b) {
    QuickPainter quick(painter, heaviest);
    for (std::size_t spot = b * block; spot < std::min(labs.size(), (b + 1) * block); ++spot)
      labs[spot] = to_pixel(quick.lab(recipe_at(spots, spot, layers)));
  });
  Image<PackedLab> out(spots.at().width(), spots.at().height());
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = labs[spots.at()[i]];
  return out;
}

Image<PackedLab> fired_colours(const Painter& painter, const std::vector<Layer>& layers, const Grid& grid,
                               Amount levels) {
  return fired_colours(painter, layers, Spots(layers, grid.width, grid.height, levels));
}

}  // namespace powderplan
