#include "optics/sintering.h"

#include <cmath>

namespace powderplan {
namespace {

// Frenkel: (1 - 3x/8) at the handover, with x = flow / r.
double handover_side() {
  return std::cbrt(loose_density / pores_close_at);
}

// The same as a flow over radius.
double handover() {
  return (1 - handover_side()) * 8 / 3;
}

}  // namespace

// Frenkel's rate there is d rho/dx = rho * (9/8) / (1 - 3x/8); that of the pores (1 - rho) * (3/2) * r / a0.
double pore_radius_share() {
  return 1.5 * (1 - pores_close_at) * handover_side() / (1.125 * pores_close_at);
}

double relative_density(Millimetres flow, Millimetres grain) {
  const double x = flow / (grain / 2);
  if (x < handover())
    return loose_density / std::pow(1 - 3 * x / 8, 3);
  return 1 - (1 - pores_close_at) * std::exp(-1.5 * (x - handover()) / pore_radius_share());
}

double fused_share(Millimetres flow, Millimetres grain) {
  if (flow <= Millimetres(0))
    return 0;
  return (relative_density(flow, grain) - loose_density) / (1 - loose_density);
}

Millimetres flow_to_fuse(double fused, Millimetres grain) {
  const double density = loose_density + fused * (1 - loose_density);
  const double x = density < pores_close_at ? (1 - std::cbrt(loose_density / density)) * 8 / 3
                                            : handover() + std::log((1 - pores_close_at) / (1 - density)) *
                                                               pore_radius_share() / 1.5;
  return grain / 2 * x;
}

double height_left(Millimetres flow, Millimetres grain) {
  return loose_density / relative_density(flow, grain);
}

}  // namespace powderplan
