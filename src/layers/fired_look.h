// What layers look like when all of them are fired, before anything is drawn.
#pragma once

#include <vector>

#include "layers/layer.h"
#include "layers/spots.h"
#include "recipe/painter.h"
#include "separation/target.h"

namespace powderplan {

// No spot carries more.
Load load_of_all(const std::vector<Layer>& layers);

// The colour at every grid point, within quick_painter_lab (recipe/quick_painter.h).
Image<PackedLab> fired_colours(const Painter& painter, const std::vector<Layer>& layers, const Spots& spots);
// The same, of layers whose spots nobody else needs; `levels` as in Spots.
Image<PackedLab> fired_colours(const Painter& painter, const std::vector<Layer>& layers, const Grid& grid,
                               Amount levels = whole_amount);

}  // namespace powderplan
