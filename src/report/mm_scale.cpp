#include "report/mm_scale.h"

#include <cmath>
#include <initializer_list>

namespace powderplan {

double scale_step(double length) {
  const double wanted = length / 40;
  const double power = std::pow(10.0, std::floor(std::log10(wanted)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= wanted)
      return factor * power;
  }
  return 10 * power;
}

}  // namespace powderplan
