// Powder that has had exactly the heat of a named finish, for tests.
#pragma once

#include "optics/finish.h"

namespace powderplan {

inline FinishValues finished(Finish finish, Millimetres grain, Density density = glass_density) {
  return fired_values(flow_for(finish, grain), grain, density);
}

}  // namespace powderplan
