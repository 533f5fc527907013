// `powderplan plan`: from a picture to a plan folder.
#pragma once

#include <filesystem>
#include <iosfwd>

#include "app/plan_flags.h"
#include "plan/request.h"

namespace powderplan {

// The folder for the plan: --out, or the picture's name without its ending and with "-plan", here.
std::filesystem::path plan_folder_of(const PlanOptions& options, const PlanRequest& request);

// Throws Problem, or Interrupted; then nothing has been written.
void run_plan(const PlanOptions& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan
