// `powderplan options`: plans that differ in a few settings, side by side, to choose among.
#pragma once

#include <iosfwd>

#include "app/options_flags.h"

namespace powderplan {

// Throws Problem, or Interrupted; then nothing has been written.
void run_options(const OptionsOptions& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan
