// How much of the ground sifted grains cover.
#pragma once

#include "units.h"

namespace powderplan {

// The load at which grains of one size, side by side, would just cover once: mass of a sphere over its
// shadow, 2/3 * density * diameter.
Load load_of_one_cover(Millimetres grain, Density density = glass_density);

// The share of the ground that randomly fallen grains cover, 1 - exp(-spread * load / one cover):
// the Boolean model of Poisson points (Stoyan, Kendall, Mecke). `spread` >= 1 multiplies a grain's shadow.
double covered_share(Load load, Millimetres grain, double spread, Density density = glass_density);

// Height of loose powder. A full load stands about 4 mm high, so sifted powder is about three quarters glass
// (common practice, no source; single-sized spheres would reach 0.64, which would stand 4.7 mm high).
inline constexpr double loose_packing = 0.75;
Millimetres unfired_height(Load load, Density density = glass_density);

}  // namespace powderplan
