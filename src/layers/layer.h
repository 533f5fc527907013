// Layers: one powder put down once, in one way, in one firing.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "layers/shape.h"
#include "raster/image.h"
#include "separation/separation.h"
#include "units.h"

namespace powderplan {

enum class Technique { stencil, fade, line };
std::string_view name_of(Technique technique);

// A connected piece of one layer, largest first, numbered from 1.
struct Region {
  int id = 0;
  double area_cm2 = 0;
  PointMm centre;  // from the top left corner of the piece
  BoxMm box;
};

struct Layer {
  std::size_t chosen = 0;  // which powder of the choice
  int step = 1;            // 1: its largest opening, 2: the next, ...
  Technique technique = Technique::stencil;
  Load load;
  std::vector<bool> open_at_label;
  double area_cm2 = 0;
  std::vector<Region> regions;
};

// 1 where the layer's powder lies, 0 elsewhere.
Image<std::uint8_t> mask_of(const Layer& layer, const Separation& separation);

// The layers of a separation in an order that can be laid: powders from the bottom up, the stencils of one
// powder smallest opening first, so that none touches loose powder of its own. Layers that open nowhere are
// left out. Areas and regions are filled in.
std::vector<Layer> make_layers(const Separation& separation);

}  // namespace powderplan
