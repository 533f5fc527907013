// What a separation looks like when its layers are made and fired.
#pragma once

#include "layers/fired_look.h"

namespace powderplan {

inline Image<PackedLab> fired_picture(const Painter& painter, const Separation& separation) {
  const std::vector<Layer> layers = make_layers(separation);
  return fired_colours(painter, layers, Spots(layers, separation.grid.width, separation.grid.height));
}

}  // namespace powderplan
