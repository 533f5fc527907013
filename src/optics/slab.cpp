#include "optics/slab.h"

namespace powderplan {

Slab over(const Slab& upper, const Slab& lower) {
  Slab both;
  for (std::size_t i = 0; i < band_count; ++i) {
    const double bounce = 1.0 - upper.reflect_below[i] * lower.reflect_above[i];
    both.reflect_above[i] = upper.reflect_above[i] +
                            upper.transmit_down[i] * upper.transmit_up[i] * lower.reflect_above[i] / bounce;
    both.transmit_down[i] = upper.transmit_down[i] * lower.transmit_down[i] / bounce;
    both.reflect_below[i] = lower.reflect_below[i] +
                            lower.transmit_up[i] * lower.transmit_down[i] * upper.reflect_below[i] / bounce;
    both.transmit_up[i] = upper.transmit_up[i] * lower.transmit_up[i] / bounce;
  }
  return both;
}

Spectrum reflectance_over(const Slab& upper, const Spectrum& ground) {
  return per_band([](double r, double down, double below, double up,
                     double g) { return r + down * up * g / (1.0 - below * g); },
                  upper.reflect_above, upper.transmit_down, upper.reflect_below, upper.transmit_up, ground);
}

}  // namespace powderplan
