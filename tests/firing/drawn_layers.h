// Layers drawn by hand, row by row.
#pragma once

#include <string>
#include <vector>

#include "layers/layer.h"

namespace powderplan {

// '#' is the whole load and '.' none. `open` is drawn alike; not given, the template is open where powder
// lies.
inline Layer drawn_layer(std::size_t powder, const std::vector<std::string>& amount,
                         std::vector<std::string> open = {}, Load load = Load(0.1)) {
  Layer layer;
  layer.powder = powder;
  layer.load = load;
  const int width = static_cast<int>(amount[0].size()), height = static_cast<int>(amount.size());
  layer.amount = Image<Amount>(width, height);
  layer.open = BitMask(width, height);
  if (open.empty())
    open = amount;
  for (int y = 0; y < height; ++y) {
    const auto row = static_cast<std::size_t>(y);
    for (int x = 0; x < width; ++x) {
      const auto column = static_cast<std::size_t>(x);
      layer.amount.at(x, y) = amount[row][column] == '#' ? whole_amount : Amount{0};
      if (open[row][column] == '#')
        layer.open.set(x, y);
    }
  }
  return layer;
}

inline Layer without_template(Layer layer) {
  layer.technique = Technique::fade;
  layer.open = {};
  return layer;
}

}  // namespace powderplan
