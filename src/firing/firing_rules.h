// The rules of firing for the layers of a plan, read off their pictures.
#pragma once

#include <span>
#include <vector>

#include "firing/firing.h"
#include "firing/firing_task.h"

namespace powderplan {

// Layers from the bottom of the glass to the top, at most most_layers_in_a_set. `softening` as in
// plan_firings.
FiringTask firing_task(std::span<const Layer> layers, const FiringLimits& limits,
                       std::span<const double> softening);

// Where more spots than this could be too heavy, their amounts are rounded up to a fifteenth.
inline constexpr std::size_t most_heavy_spots = 2000;

}  // namespace powderplan
