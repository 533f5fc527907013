// From the steps of a tile to the powder's absorption, scattering and spreading: all steps over all grounds
// at once.
#pragma once

#include "measure/readings.h"

namespace powderplan {

struct FitRules {
  // Also fit what each load is worth (optics/load_curve.h).
  bool with_curve = false;
};

struct PowderFit {
  PowderOptics optics;
  // CIEDE2000 between measured and predicted, for each step.
  std::vector<double> step_de00;
  double mean_de00 = 0;
  // How far a reading usually is from what stands behind it, CIEDE2000: the root mean square of step_de00,
  // made larger for the freedom that the fit had to follow the readings. Where the model cannot follow them
  // at all, that counts as noise too.
  double noise_de00 = 0;
  // The part of it that the fit has followed, and will repeat at the loads it was fitted to.
  double followed_de00 = 0;
};

// Least squares (Levenberg 1944, Marquardt 1963) over log k and log s of every band and the logarithm of the
// grains' spreading, against all steps: a colour counts by its differences in lightness, chroma and hue with
// the weights of CIEDE2000 (CIE 142), a spectrum by the lightness of each band. Three colours a step do not
// settle 62 numbers, so the smoothest k and s that agree with the steps are taken: their second differences,
// and the spreading's distance from what is usual, count as errors too. Where data are exact spectra that
// weight vanishes, and the result is that of the closed inversion (optics/kubelka_munk.h).
// Needs at least one step of a load above 0.
PowderFit fit_powder(const Readings& readings, const FitRules& rules = {});

}  // namespace powderplan
