// The whole program between its arguments and its exit code.
#pragma once

#include <iosfwd>

namespace powderplan {

// Runs one command line. What was asked for goes to `out`; a failure is one line on `err`. Returns the exit
// code (app/exit_code.h).
int run(int argc, const char* const* argv, std::ostream& out, std::ostream& err);

}  // namespace powderplan
