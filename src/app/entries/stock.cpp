// Jars, plans and their fingerprints.
#include "app/entries.h"
#include "app/stock_command.h"

using namespace powderplan;

void powderplan_stock(const StockOptions& options, std::ostream& out, std::ostream&) {
  run_stock(options, out);
}
