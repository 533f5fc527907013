// What is said after a plan is made: short enough to be read, with where to look next.
#pragma once

#include <filesystem>
#include <string>

#include "report/plan_record.h"

namespace powderplan {

std::string plan_summary(const PlanRecord& record, const std::filesystem::path& folder);

}  // namespace powderplan
