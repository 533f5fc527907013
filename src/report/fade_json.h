// The part of plan.json about one fade. For plan_json.cpp only.
#pragma once

#include <nlohmann/json.hpp>

#include "report/plan_record.h"

namespace powderplan {

// Null when the layer is no fade of the plan's separation.
nlohmann::ordered_json fade_json(const PlanRecord& record, std::size_t layer);

}  // namespace powderplan
