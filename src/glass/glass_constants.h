// What a glass is as a material: the points of its viscosity, expansion and density.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "units.h"

namespace powderplan {

// A kiln starts here, and nothing in it gets colder.
inline constexpr Celsius room_temperature{20};

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
