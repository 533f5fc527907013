// What a plan.json says of powder: no more of it than stock-keeping needs.
#pragma once

#include <string>
#include <vector>

#include "units.h"

namespace powderplan {

struct PlannedLayer {
  int index = 0, firing = 0;  // from 1, in bench order
  std::string powder;         // id
  Grams used;                 // what lands, and what of the rest does not come back
  Grams sift;                 // what leaves the jar for it
};

struct PlanTotals {
  std::string title;
  std::vector<PlannedLayer> layers;
  int firings = 0;
};

// `file` only names the place of faults. Throws Problem (input): no plan.json, another schema, keys missing
// or of another type, numbers out of range, layers and totals that do not belong together. The share that
// does not come back is taken from the totals, which state it for each powder.
PlanTotals parse_plan_totals(const std::string& text, const std::string& file);

}  // namespace powderplan
