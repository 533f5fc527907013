// `powderplan plan`: from a picture to a plan folder.
#pragma once

#include <CLI/App.hpp>
#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

#include "app/piece_flags.h"

namespace powderplan {

// As typed; nothing is checked yet.
struct PlanOptions {
  PieceFlags piece;
  std::vector<std::string> out;
  bool replace = false, timings = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_plan(CLI::App& app, PlanOptions& options);

// The folder for the plan: --out, or the picture's name without its ending and with "-plan", here.
std::filesystem::path plan_folder_of(const PlanOptions& options, const PlanRequest& request);

// Throws Problem, or Interrupted; then nothing has been written.
void run_plan(const PlanOptions& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan
