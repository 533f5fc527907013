// A homogeneous layer that absorbs and scatters (Kubelka 1948, J. Opt. Soc. Am. 38, 448), and its inverse.
#pragma once

#include "optics/slab.h"
#include "units.h"

namespace powderplan {

// One band of a layer: what it sends back over a black ground, and what it lets through.
struct LayerOptics {
  double reflect = 0, transmit = 1;
};

// `k` absorption and `s` scattering in cm2/g, `load` in g/cm2, none negative. With
// a = 1 + k/s, b = sqrt(a*a - 1), D = a*sinh(b*s*w) + b*cosh(b*s*w): R = sinh(b*s*w)/D, T = b/D;
// evaluated in a form without a division by k or s, so that both limits are met exactly:
// s = 0: R = 0, T = exp(-k*w) (Bouguer); k = 0: R = s*w/(1 + s*w), T = 1/(1 + s*w).
LayerOptics kubelka_munk(double k, double s, double load);

// The same for 31 bands, as a slab (it looks the same from both sides).
Slab kubelka_munk(const Spectrum& k, const Spectrum& s, Load load);

// R of an infinitely thick layer: a - b.
double reflectance_of_thick_layer(double k, double s);

struct Coefficients {
  double k = 0, s = 0;
};

// The k and s (cm2/g) of a layer of this load with this R over black and T. R in [0, 1), T in (0, 1]
// with R + T <= 1; outside that the nearest physical layer is returned.
Coefficients kubelka_munk_inverse(double reflect, double transmit, double load);

// The layer's R and T from its reflectance over two grounds; exact when the readings are, clamped to a
// physical layer when they are not. All reflectances are inside the glass (below the surface).
LayerOptics layer_from_two_grounds(double over_light, double over_dark, double light_ground,
                                   double dark_ground);

}  // namespace powderplan
