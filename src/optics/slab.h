// A slab of material and the one operator that stacks two of them.
#pragma once

#include "colour/spectrum.h"

namespace powderplan {

// Shares of the light that arrives, per band, 0..1. "Above" is the side of the viewer.
struct Slab {
  Spectrum reflect_above;  // light from above sent back up
  Spectrum transmit_down;  // light from above let through
  Spectrum reflect_below;  // light from below sent back down
  Spectrum transmit_up;    // light from below let through
};

// `upper` laid on `lower`, with every reflection between the two (Stokes 1862; Kubelka 1954,
// J. Opt. Soc. Am. 44, 330).
Slab over(const Slab& upper, const Slab& lower);

// Reflectance of `upper` on an opaque ground of reflectance `ground`.
Spectrum reflectance_over(const Slab& upper, const Spectrum& ground);

}  // namespace powderplan
