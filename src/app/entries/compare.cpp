// The comparison of a fired piece with its plan.
#include "app/compare_command.h"
#include "app/entries.h"

using namespace powderplan;

void powderplan_compare(const CompareOptions& options, std::ostream& out, std::ostream& err) {
  run_compare(options, out, err);
}
