#include "report/ruler.h"

#include <array>
#include <cmath>

namespace powderplan {

double ruler_length(double most) {
  const double decade = std::pow(10, std::floor(std::log10(most)));
  for (const double step : std::array{5.0, 2.0}) {
    if (step * decade <= most)
      return step * decade;
  }
  return decade;
}

}  // namespace powderplan
