// A plan that asks no more of any jar than it holds.
#pragma once

#include "plan/pipeline.h"

namespace powderplan {

// Plans on a coarse grid first; a powder of which the jar holds too little is made dear there, by its load,
// until the plan needs no more of it than there is; one that no price makes rare enough is left out. Then the
// plan itself, with those prices, raised a little where it still asks too much. Powders whose stock is not
// stated count as enough. The notes say which powders are used sparingly and what the mean error would be
// with full jars. Throws Problem (infeasible) when a powder that must be in the plan cannot be, or the grams
// cannot be met.
PlanRecord make_plan_within_stock(const PlanRequest& request, const Progress& progress = {});

// The plan that is asked for: within the stock or not.
PlanRecord make_asked_plan(const PlanRequest& request, const Progress& progress = {});

}  // namespace powderplan
