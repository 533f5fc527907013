// A smooth reflectance spectrum for a colour known only as sRGB.
#pragma once

#include "colour/observer.h"
#include "colour/spectrum.h"
#include "colour/tristimulus.h"

namespace powderplan {

// The sigmoid of a quadratic in wavelength (Jakob and Hanika 2019, "A low-dimensional function space
// for efficient spectral upsampling") that has this colour under D65. Always strictly inside 0..1 and
// without ripple. Colours on the edge of sRGB that no such curve reaches get the nearest one.
// Largest error inside the gamut, where no channel is 0 or 255: see smooth_spectrum_tolerance_de00.
Spectrum smooth_spectrum(const LinearRgb& colour);
inline constexpr double smooth_spectrum_tolerance_de00 = 0.05;

}  // namespace powderplan
