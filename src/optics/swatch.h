// From the colours of a fired swatch to absorption and scattering.
#pragma once

#include "colour/tristimulus.h"
#include "optics/stack.h"

namespace powderplan {

// Internal reflectance of the grounds that a swatch is judged on: an opaque white, which through clear glass
// looks #f2f2f2, and a black.
inline constexpr double white_ground = 0.97;
inline constexpr double black_ground = 0.0;

struct SwatchFit {
  Spectrum k, s;  // cm2/g of fused glass
  // How well the found glass repeats the two colours, CIEDE2000.
  double white_de00 = 0, black_de00 = 0;
};

// The glass whose layer of this load, glossy and fully fused, has these colours over white and over black
// under D65: smooth spectra for both, the surface taken off, then the two-ground inversion band by band.
// Colours that no such layer has get the nearest one; the differences say how far off it is.
SwatchFit fit_swatch(const Rgb8& over_white, const Rgb8& over_black, Load load);

}  // namespace powderplan
