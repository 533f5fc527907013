// What layers look like when all of them are fired, before anything is drawn.
#pragma once

#include <span>
#include <vector>

#include "layers/layer.h"
#include "layers/spots.h"
#include "recipe/painter.h"
#include "separation/target.h"

namespace powderplan {

// The colour of every spot; `without` leaves layers out (places in `layers`).
std::vector<Lab> spot_labs(const Painter& painter, const Choice& choice, const std::vector<Layer>& layers,
                           const Spots& spots, std::span<const std::size_t> without = {});

// The colour at every grid point.
Image<LabPixel> fired_colours(const Painter& painter, const Choice& choice, const std::vector<Layer>& layers,
                              const Spots& spots);

}  // namespace powderplan
