// How good a plan is: its figures.
#pragma once

#include <vector>

#include "plan/kept_results.h"
#include "plan/request.h"
#include "recipe/painter.h"
#include "recipe/shelf_reach.h"
#include "report/plan_record.h"
#include "separation/target.h"

namespace powderplan {

// Fills in the record's fidelity, its target, where fine detail is lost, and the note about that. The layers,
// spots and firings must be there; the target is taken, because it is large and this is the last that it is
// needed for; `usable` are the powders that the flat way and the bound may use. What was found of the same
// layers before is taken from `kept`.
void judge(PlanRecord& record, const PlanRequest& request, const Painter& painter, Target target,
           const ShelfReach& reach, const std::vector<std::size_t>& usable, const KeptResults& kept);

}  // namespace powderplan
