// Spectra and grounds by lot, for properties of stacks.
#pragma once

#include "optics/stack.h"
#include "property.h"

namespace powderplan {

inline Spectrum any_spectrum(double least, double most) {
  // Two numbers are enough for bands to differ; 31 would only slow the shrinking down.
  const double first = any_between(least, most), last = any_between(least, most);
  Spectrum s;
  for (std::size_t i = 0; i < band_count; ++i)
    s[i] = first + (last - first) * static_cast<double>(i) / (band_count - 1);
  return s;
}

inline Ground any_ground() {
  Ground ground;
  ground.view = *rc::gen::element(View::wall, View::window);
  ground.sheet_k = any_spectrum(0, 1);
  ground.sheet_s = any_spectrum(0, 5);
  ground.sheet_load = Load(any_between(0.2, 1.5));
  ground.backing = any_spectrum(0, 0.98);
  return ground;
}

}  // namespace powderplan
