// What a glass is as a material: the points of its viscosity, expansion and density.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "units.h"

namespace powderplan {

// A kiln starts here, and nothing in it gets colder.
inline constexpr Celsius room_temperature{20};

// EN 572-1, soda-lime glass (as quoted in handbooks; the standard itself was not read).
inline constexpr double youngs_modulus_mpa = 70'000;
inline constexpr double poissons_ratio = 0.2;

// MPa a kelvin in a plate that is held in both directions: E a / (1 - nu).
inline constexpr double held_stress_mpa_per_k(double expansion_per_k) {
  return youngs_modulus_mpa * expansion_per_k / (1 - poissons_ratio);
}

struct GlassConstants {
  Celsius strain{480}, annealing{515}, softening{680};
  double expansion_per_k = 9.0e-6;
  Density density = glass_density;
};

// Two points that contradict each other.
struct PointFault {
  std::string_view key;  // of the palette file, where the fault is seen: "annealing_c"
  std::string wrong, remedy;
};

// Room temperature < strain point < annealing point < softening point must hold, and all must be numbers; the
// first pair that does not.
std::optional<PointFault> fault_of_points(const GlassConstants& glass);

}  // namespace powderplan
