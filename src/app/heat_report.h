// What `powderplan heat` says of a schedule.
#pragma once

#include <string>
#include <vector>

#include "firing/plate_stress.h"
#include "firing/schedule.h"

namespace powderplan {

struct NamedGrain {
  std::string name;  // of the sieve, or of the powders that have it; may be empty
  Millimetres size;
};

struct HeatQuestion {
  Schedule schedule;
  GlassConstants glass;
  Millimetres thickness{3.0};
  HeatedFaces faces = HeatedFaces::one;
  std::vector<NamedGrain> grains;  // from the finest to the coarsest; at least one
};

// ASTM E11: mesh 325, 200, 120, 80 and 60.
std::vector<NamedGrain> sieve_grains();

// A powder that has lost less of its air than this has not been melted.
inline constexpr double nothing_melts = 0.05;
// The most that any of the grains has fused, 0..1.
double most_fused(const HeatQuestion& question);

// Legs and their heat, what each grain becomes, stress, and what to beware of.
std::string heat_report(const HeatQuestion& question);

}  // namespace powderplan
