// What to change when no plan of firings keeps the limits.
#pragma once

#include <string>
#include <vector>

#include "firing/firing.h"
#include "firing/firing_search.h"
#include "firing/firing_task.h"

namespace powderplan {

// The search as the limits ask for it. Nothing when there is no such plan.
std::optional<FiringAnswer> answer_within(const FiringTask& task, const FiringLimits& limits);

// Throws Problem (infeasible): what stands in the way, and every single change that would do, each as small
// as it can be. `names` are the layers' powders, for the user.
[[noreturn]] void refuse(const FiringTask& task, const FiringLimits& limits,
                         const std::vector<std::string>& names);

}  // namespace powderplan
