// Stress in a plate of glass whose temperature changes.
//
// Far from the edges, elastic, with the temperature across the plate in its steady parabola (Adams and
// Williamson 1920, J. Franklin Inst. 190, 597; Carslaw and Jaeger; from memory, checked by finite differences
// in tests/outside). With the constants of EN 572-1. Only about 60 % of the stress that stays in glass cooled
// through its annealing range is of this kind (Gardon and Narayanaswamy 1970, J. Am. Ceram. Soc. 53, 380):
// the rates that follow from it are starting points.
#pragma once

#include "units.h"

namespace powderplan {

// Through which faces heat comes and goes: one for glass that lies on a kiln shelf, both for glass that
// stands free.
enum class HeatedFaces { one, both };

// K, of the heated face over the coldest plane of the plate: rate * L^2 / (2 * diffusivity) through one face,
// a quarter of that through both. `k_per_h` < 0 when it cools; then so is the difference.
double plate_difference_k(double k_per_h, Millimetres thickness, HeatedFaces faces);

// MPa, tension positive. The face that gives or takes the heat carries 2/3 of E a dT / (1 - nu), against its
// own expansion; the plane furthest from the heat (the middle, or the face on the shelf) 1/3, the other way.
struct PlateStress {
  double face_mpa = 0, inside_mpa = 0;
};
PlateStress plate_stress(double k_per_h, Millimetres thickness, double expansion_per_k, HeatedFaces faces);

// The rate, K/h, at which the face carries this stress (> 0).
double rate_for_stress(Millimetres thickness, double expansion_per_k, double face_mpa,
                       HeatedFaces faces = HeatedFaces::one);

// How long a plate takes to be even within 2 % once its faces hold still, in minutes: four times the time
// constant L^2 / (pi^2/4 * diffusivity), L counted from the heated face to the coldest plane.
double minutes_to_even_out(Millimetres thickness, HeatedFaces faces);

}  // namespace powderplan
