// What layers look like when all of them are fired, before anything is drawn.
#pragma once

#include "layers/layer.h"
#include "layers/spots.h"
#include "recipe/painter.h"
#include "separation/target.h"

namespace powderplan {

// The colour of every spot; `without` leaves one layer out (layers.size(): none).
std::vector<Lab> spot_labs(const Painter& painter, const Choice& choice, const std::vector<Layer>& layers,
                           const Spots& spots, std::size_t without);

// The colour at every grid point.
Image<LabPixel> fired_colours(const Painter& painter, const Choice& choice, const std::vector<Layer>& layers,
                              const Spots& spots);

}  // namespace powderplan
