// How a wavy surface of molten glass levels.
#pragma once

#include "units.h"

namespace powderplan {

// Share of a wave's height that is left after a flow (the integral over time of surface tension / viscosity),
// 1 = all. Orchard 1962, Appl. Sci. Res. A 11, 451: a wave of length L on a layer of depth h that sticks to
// what lies below decays at the rate, with k = 2 pi / L,
//   gamma k / (2 eta) * (sinh 2kh - 2kh) / (cosh 2kh + 1 + 2 (kh)^2)
// Deep layer, kh >> 1: exp(-pi flow / L).  Thin film, kh << 1: exp(-k^4 h^3 flow / 3).
// `flow` >= 0, `wave` > 0, `depth` > 0.
double relief_left(Millimetres flow, Millimetres wave);
double relief_left(Millimetres flow, Millimetres wave, Millimetres depth);

// Orchard's factor alone, as a share of the deep layer's rate: 0 (film) .. 1 (deep); kh = 2 pi depth / wave.
double depth_factor(double kh);

// The flow after which no more than this share (0 < left <= 1) of a wave on a deep layer is left.
Millimetres flow_to_level(double left, Millimetres wave);

}  // namespace powderplan
