// The surface between air and glass.
#pragma once

#include "optics/slab.h"

namespace powderplan {

// n of soda-lime glass (EN 572-1).
inline constexpr double glass_index = 1.5;

// Reflection of a collimated ray at normal incidence, ((n - 1)/(n + 1))^2 (Fresnel): 0.04 for n = 1.5.
double fresnel_normal(double index);

// Reflection of diffuse light that arrives from the air, closed form of Walsh (1926) and Duntley (1942,
// J. Opt. Soc. Am. 32, 61): 0.0918 for n = 1.5.
double diffuse_reflection_outside(double index);

// Reflection of diffuse light that arrives from inside the glass, 1 - (1 - outside)/n^2: 0.596 for n = 1.5.
double diffuse_reflection_inside(double index);

struct Surface {
  double outer;  // share of the incoming light that never enters
  double inner;  // share of the diffuse light inside that cannot leave
};

// The surface of fired glass: 4 % at normal incidence outside, 59.6 % for diffuse light inside.
const Surface& glass_surface();

// A surface as a slab, air above and glass below.
Slab slab_of(const Surface& surface);

// What is seen of an internal reflectance R through the surface (Saunderson 1942, J. Opt. Soc. Am. 32,
// 727): outer * glare + (1 - outer) (1 - inner) R / (1 - inner R). `glare` in 0..1 is the share of the
// outer reflection that reaches the eye: 0 for a glossy surface seen out of its mirror direction, 1 for a
// rough one, which mixes it into the colour.
constexpr double seen_through(const Surface& surface, double internal, double glare) {
  return surface.outer * glare +
         (1 - surface.outer) * (1 - surface.inner) * internal / (1 - surface.inner * internal);
}
// The internal reflectance behind what is seen. The inverse of the above.
double internal_behind(const Surface& surface, double seen, double glare);

}  // namespace powderplan
