// Commands that look at pictures and at plans.
#include "app/entries.h"
#include "app/fit_command.h"
#include "app/options_command.h"
#include "app/plan_command.h"
#include "app/proof_command.h"
#include "app/tile_command.h"

using namespace powderplan;

void powderplan_plan(const PlanOptions& options, std::ostream& out, std::ostream& err) {
  run_plan(options, out, err);
}

void powderplan_options(const OptionsOptions& options, std::ostream& out, std::ostream& err) {
  run_options(options, out, err);
}

void powderplan_tile(const TileOptions& options, std::ostream& out, std::ostream&) {
  run_tile(options, out);
}

void powderplan_fit(const FitOptions& options, std::ostream& out, std::ostream&) {
  run_fit(options, out);
}

void powderplan_proof(const ProofOptions& options, std::ostream& out, std::ostream&) {
  run_proof(options, out);
}
