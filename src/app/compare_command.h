// `powderplan compare`: a photo of a fired piece against its plan, and the rest of the plan made anew.
#pragma once

#include <iosfwd>
#include <string>

#include "app/compare_flags.h"
#include "report/piece_comparison.h"
#include "report/plan_record.h"

namespace powderplan {

// What was found, for the terminal.
std::string comparison_text(const PlanRecord& record, const PieceComparison& comparison);

// `options` without --cards (app/cards_command.h). Throws Problem, or Interrupted; then nothing has been
// written.
void run_compare(const CompareOptions& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan
