// Why a layer is in its firing, in words for the bench.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "firing/firing.h"
#include "firing/firing_task.h"

namespace powderplan {

// Fills in `why` of every layer and firing. `layers` and the task are in the order in which the layers were
// given; steps are named by their number on the bench.
void say_why(FiringPlan& plan, std::span<const Layer> layers, const FiringTask& task);

}  // namespace powderplan
