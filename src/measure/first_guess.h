// Where the search for a powder's absorption and scattering begins.
#pragma once

#include <vector>

#include "measure/readings.h"

namespace powderplan {

// k and s of a powder stay within these, cm2/g: below, nothing is seen even of a full load; above, a grain
// hides all.
inline constexpr double least_coefficient = 1e-3, most_coefficient = 1e3;

struct CoefficientSpectra {
  Spectrum k, s;  // cm2/g, within the bounds above
};

// One guess, or several that are worth trying, the likeliest first. From each load that was read over two
// opaque grounds by the closed inversion (optics/kubelka_munk.h), weighted by how much of the ground is seen,
// because a layer that hides it, or is hardly there, says little. What passes through a clear sheet could be
// weakened by absorption alone (Bouguer) or by scattering alone (Kubelka 1948 for k = 0): both are given.
std::vector<CoefficientSpectra> first_guesses(const Readings& readings);

}  // namespace powderplan
