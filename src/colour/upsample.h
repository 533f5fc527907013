// A smooth reflectance spectrum for a colour known only as sRGB.
#pragma once

#include "colour/observer.h"
#include "colour/spectrum.h"
#include "colour/tristimulus.h"

namespace powderplan {

// The sigmoid of a quadratic in wavelength (Jakob and Hanika 2019, "A low-dimensional function space
// for efficient spectral upsampling") that has this colour under D65. Always strictly inside 0..1 and
// without ripple. Every colour of sRGB has such a curve; a colour outside it gets the nearest one.
Spectrum smooth_spectrum(const LinearRgb& colour);
// Largest error inside sRGB, corners included.
inline constexpr double smooth_spectrum_tolerance_de00 = 1e-6;

}  // namespace powderplan
