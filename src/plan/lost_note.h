// What the user should know when fine detail is lost.
#pragma once

#include <string>

#include "plan/request.h"

namespace powderplan {

// A smaller share of lost detail is not worth a note.
inline constexpr double noted_lost_detail = 0.25;

// One sentence, or empty.
std::string lost_note(double share, const PlanRequest& request);

}  // namespace powderplan
