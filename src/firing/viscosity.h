// How stiff a glass is at a temperature.
#pragma once

#include "glass/glass_constants.h"
#include "units.h"

namespace powderplan {

// log10 of the viscosity in Pa.s by Vogel, Fulcher and Tammann: A + B / (T - T0), A = -2.6 (near all
// soda-lime standard glasses), through the softening point, 10^6.6 Pa.s (ASTM C338), and the annealing
// point, 10^12 Pa.s (ASTM C336, C598). The strain point is no equilibrium viscosity and stays out.
class ViscosityCurve {
 public:
  // Throws Problem (input) when the points of the glass are out of order (glass_constants.h).
  explicit ViscosityCurve(const GlassConstants& glass);
  // Infinite at T0 and below: there the glass does not flow at all.
  [[nodiscard]] double log10_pa_s(Celsius temperature) const;
  // For log10_pa_s > A.
  [[nodiscard]] Celsius temperature_at(double log10_pa_s) const;
  // 1 / viscosity, 1/(Pa.s); 0 at T0 and below.
  [[nodiscard]] double fluidity(Celsius temperature) const;

 private:
  double b_, t0_;
};

}  // namespace powderplan
