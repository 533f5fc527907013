// plan.json: the whole plan for other programs.
#pragma once

#include <string>

#include "report/plan_record.h"

namespace powderplan {

// The number under "schema". It grows when a key changes its meaning or goes away, not when one is added.
inline constexpr int plan_schema = 1;

// UTF-8 JSON. Layers and firings are counted from 1, in bench order; lengths in mm, areas in cm2, weights in
// g, loads in g/cm2, k and s in cm2/g, temperatures in degrees C; the origin is the piece's top left corner.
// All numbers read back to the same double. `seconds` stays empty unless record.seconds is filled, so the
// same plan gives the same bytes. Text that is no UTF-8 is replaced by U+FFFD.
std::string plan_json(const PlanRecord& record);

}  // namespace powderplan
