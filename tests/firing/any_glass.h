// Glasses and plates over the whole range that studios meet, for properties.
#pragma once

#include "glass/glass_constants.h"
#include "property.h"

namespace powderplan {

inline GlassConstants any_glass() {
  GlassConstants glass;
  glass.annealing = Celsius(any_between(430, 580));
  glass.strain = glass.annealing - Celsius(any_between(20, 45));
  glass.softening = glass.annealing + Celsius(any_between(120, 220));
  glass.expansion_per_k = any_between(3e-6, 11e-6);
  return glass;
}

inline Millimetres any_thickness() {
  return Millimetres(any_decade_between(1, 30));
}

inline Millimetres any_grain() {
  return Millimetres(any_decade_between(0.01, 2));
}

}  // namespace powderplan
