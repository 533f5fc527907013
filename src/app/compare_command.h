// `powderplan compare`: a photo of a fired piece against its plan, and the rest of the plan made anew.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
#include <string>
#include <vector>

#include "report/piece_comparison.h"
#include "report/plan_record.h"

namespace powderplan {

// As typed; nothing is checked yet.
struct CompareOptions {
  std::vector<std::string> photo, plan, palettes, weights, after_firing, marks, corners, reference, out,
      replan, cards, paper, threads;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_compare(CLI::App& app, CompareOptions& options);

// What was found, for the terminal.
std::string comparison_text(const PlanRecord& record, const PieceComparison& comparison);

// Throws Problem, or Interrupted; then nothing has been written.
void run_compare(const CompareOptions& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan
