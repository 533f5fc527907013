#include "firing/plate_stress.h"

#include <numbers>

#include "glass/glass_constants.h"

namespace powderplan {
namespace {

// EN 572-1 basic soda-lime glass.
constexpr double conductivity = 1.0;     // W/(m K)
constexpr double heat_capacity = 720.0;  // J/(kg K)
constexpr double density_kg_m3 = 2500.0;
constexpr double diffusivity = conductivity / (density_kg_m3 * heat_capacity);  // m2/s

constexpr double seconds_per_hour = 3600;

// From the heated face to the coldest plane, m.
double way_of_heat(Millimetres thickness, HeatedFaces faces) {
  return thickness.value() / 1000 / (faces == HeatedFaces::both ? 2 : 1);
}

}  // namespace

double plate_difference_k(double k_per_h, Millimetres thickness, HeatedFaces faces) {
  const double way = way_of_heat(thickness, faces);
  return k_per_h / seconds_per_hour * way * way / (2 * diffusivity);
}

PlateStress plate_stress(double k_per_h, Millimetres thickness, double expansion_per_k, HeatedFaces faces) {
  const double whole = held_stress_mpa_per_k(expansion_per_k) * plate_difference_k(k_per_h, thickness, faces);
  return {-2 * whole / 3, whole / 3};
}

double rate_for_stress(Millimetres thickness, double expansion_per_k, double face_mpa, HeatedFaces faces) {
  const double at_one_k_per_h = -plate_stress(1, thickness, expansion_per_k, faces).face_mpa;
  return face_mpa / at_one_k_per_h;
}

double minutes_to_even_out(Millimetres thickness, HeatedFaces faces) {
  constexpr double time_constants = 4;
  const double way = way_of_heat(thickness, faces);
  const double constant = way * way / (std::numbers::pi * std::numbers::pi / 4 * diffusivity);
  return time_constants * constant / 60;
}

}  // namespace powderplan
