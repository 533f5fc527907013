#include "optics/grain.h"

#include <cmath>

namespace powderplan {

Load load_of_one_cover(Millimetres grain, Density density) {
  return Load(2.0 / 3.0 * density.value() * grain.value() / 10.0);
}

double covered_share(Load load, Millimetres grain, double spread, Density density) {
  return -std::expm1(-spread * (load / load_of_one_cover(grain, density)));
}

Millimetres unfired_height(Load load, Density density) {
  return Millimetres(10.0 * load.value() / (density.value() * loose_packing));
}

}  // namespace powderplan
