// A kiln schedule as a starting point, from the glass's own points and the thickness of the piece.
#pragma once

#include <vector>

#include "firing/firing.h"

namespace powderplan {

// log10 of the viscosity in Pa.s by Vogel, Fulcher and Tammann: A + B / (T - T0), A = -2.6 (near all
// soda-lime standard glasses), through the softening point, 10^6.6 Pa.s (ASTM C338), and the annealing
// point, 10^12 Pa.s (ASTM C336, C598). The strain point is no equilibrium viscosity and stays out.
class ViscosityCurve {
 public:
  explicit ViscosityCurve(const GlassConstants& glass);
  [[nodiscard]] double log10_pa_s(Celsius temperature) const;
  [[nodiscard]] Celsius temperature_at(double log10_pa_s) const;

 private:
  double b_, t0_;
};

// Fastest change of temperature, K/h, of a plate heated or cooled through one face at a surface stress of
// `stress_mpa`: the difference through it is rate * L^2 / (2 * diffusivity), and the surface carries 2/3 of
// E * expansion * difference / (1 - poisson) (parabolic profile; Adams and Williamson 1920, J. Franklin Inst.
// 190, 597), with the constants of EN 572-1.
double rate_for_stress(Millimetres thickness, double expansion_per_k, double stress_mpa);

// Heat up, let air out at the softening point, go to the finish, anneal, cool.
std::vector<Segment> starting_schedule(const GlassConstants& glass, Millimetres thickness, Finish finish);

}  // namespace powderplan
