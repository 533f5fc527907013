// What the glasses of a plan do to one another, in words for its user.
#pragma once

#include <string>
#include <vector>

#include "report/plan_record.h"

namespace powderplan {

// Pairs that react where they meet, wishes that did not come true, expansions that differ. None: nothing to
// say. The record has its layers and meetings.
std::vector<std::string> glass_notes(const PlanRecord& record);

}  // namespace powderplan
