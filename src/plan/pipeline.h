// The one place that reads from top to bottom like the work itself: picture, target, separation, layers,
// firings, weights.
#pragma once

#include <functional>
#include <string_view>

#include "plan/request.h"
#include "report/plan_record.h"

namespace powderplan {

// Called when a step begins; `share` is how much of the whole is done, 0..1.
using Progress = std::function<void(std::string_view step, double share)>;

// Makes the whole plan in memory; reads the image and the palettes, writes nothing.
// Throws Problem: (input) for the files, (command_line) for values out of range or unknown ids,
// (infeasible) when the limits cannot be met together.
PlanRecord make_plan(const PlanRequest& request, const Progress& progress = {});

}  // namespace powderplan
