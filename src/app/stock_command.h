// `powderplan stock`: what plans take off the jars, what is to be ordered, and the jars' new contents.
#pragma once

#include <iosfwd>

#include "app/stock_flags.h"

namespace powderplan {

// Throws Problem, or Interrupted; then palettes and records are as they were.
void run_stock(const StockOptions& options, std::ostream& out);

}  // namespace powderplan
