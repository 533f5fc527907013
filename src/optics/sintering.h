// How heat closes the air between grains, by viscous flow.
//
// Heat enters as one length, the flow: the integral over time of surface tension / viscosity. A grain feels
// it as a share of its own radius r.
#pragma once

#include "units.h"

namespace powderplan {

// Share of glass in the space that loose sifted powder takes, where sintering begins. Published: poured
// spheres 0.55 to 0.64, angular powder 0.45 to 0.62 (from memory); 0.6 is in the middle of what sifting and
// settling give. It is not loose_packing of grain.h: that one is the height at which the trade says a full
// load stands, and lets fine grains fill the gaps of coarse ones; sintering is about a grain and its like.
inline constexpr double loose_density = 0.6;
// Up to here grains grow together at necks (Frenkel), from here on closed pores shrink.
inline constexpr double pores_close_at = 0.8;

// Relative density after a flow, `loose_density` .. 1. With r the radius of the grain:
//   up to 0.8   rho = rho0 (1 - 3 flow / (8 r))^-3          Frenkel 1945, J. Phys. (USSR) 9, 385
//   beyond      rho = 1 - (1 - 0.8) exp(-3 flow' / (2 a0))  Mackenzie and Shuttleworth 1949,
//                                                           Proc. Phys. Soc. B 62, 833
// flow' = what comes after 0.8; the radius of the pores a0 (about 0.30 r) is the one at which the powder goes
// on as fast as it comes. Handing over at 0.8: Prado, Zanotto and Mueller 2001, J. Non-Cryst. Solids 279,
// 169. `flow` >= 0, `grain` (diameter) > 0.
double relative_density(Millimetres flow, Millimetres grain);

// Share of the air between the grains that has gone, 0..1: (rho - rho0) / (1 - rho0).
double fused_share(Millimetres flow, Millimetres grain);
// The flow at which that share is reached, 0 <= fused < 1.
Millimetres flow_to_fuse(double fused, Millimetres grain);

// Height of powder on glass as a share of its height when loose: it cannot shrink sideways.
double height_left(Millimetres flow, Millimetres grain);

// The radius of the pores when they close, in radii of the grain.
double pore_radius_share();

}  // namespace powderplan
