// `powderplan compare --cards`: the corner cards to lay round a piece before it is photographed.
#pragma once

#include <iosfwd>

#include "app/compare_flags.h"

namespace powderplan {

// Throws Problem, or Interrupted; then no file has been written.
void run_cards(const CompareOptions& options, std::ostream& out);

}  // namespace powderplan
