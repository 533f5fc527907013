#include "optics/surface.h"

#include <cmath>

namespace powderplan {

double fresnel_normal(double n) {
  return (n - 1) * (n - 1) / ((n + 1) * (n + 1));
}

double diffuse_reflection_outside(double n) {
  const double n2 = n * n, n4 = n2 * n2;
  const double sum = n2 + 1, difference = n4 - 1;
  return 0.5 + (n - 1) * (3 * n + 1) / (6 * (n + 1) * (n + 1)) +
         n2 * (n2 - 1) * (n2 - 1) / (sum * sum * sum) * std::log((n - 1) / (n + 1)) -
         2 * n2 * n * (n2 + 2 * n - 1) / (sum * difference) +
         8 * n4 * (n4 + 1) / (sum * difference * difference) * std::log(n);
}

double diffuse_reflection_inside(double n) {
  return 1 - (1 - diffuse_reflection_outside(n)) / (n * n);
}

const Surface& glass_surface() {
  static const Surface surface{fresnel_normal(glass_index), diffuse_reflection_inside(glass_index)};
  return surface;
}

Slab slab_of(const Surface& surface) {
  return {Spectrum::constant(surface.outer), Spectrum::constant(1 - surface.outer),
          Spectrum::constant(surface.inner), Spectrum::constant(1 - surface.inner)};
}

double internal_behind(const Surface& s, double seen, double glare) {
  const double body = seen - s.outer * glare;
  return body / ((1 - s.outer) * (1 - s.inner) + s.inner * body);
}

}  // namespace powderplan
