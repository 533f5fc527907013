// `powderplan plan`: from a picture to a plan folder.
#pragma once

#include <CLI/App.hpp>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <map>
#include <string>
#include <vector>

#include "plan/request.h"
#include "plan/settings.h"

namespace powderplan {

// As typed; nothing is checked yet.
struct PlanOptions {
  std::map<const Setting*, std::vector<std::string>> settings;  // those that were given
  std::vector<std::string> piece, out, max_megapixels, threads;
  bool replace = false, timings = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_plan(CLI::App& app, PlanOptions& options);

// The piece file's settings, those of the flags over them, all checked. `piece_text` is what the piece file
// holds, when there is one. Throws Problem; one that lies in the piece file names its line.
PlanRequest request_of(const PlanOptions& options, const std::string& piece_text);

// The folder for the plan: --out, or the picture's name without its ending and with "-plan", here.
std::filesystem::path plan_folder_of(const PlanOptions& options, const PlanRequest& request);

// Throws Problem, or Interrupted; then nothing has been written.
void run_plan(const PlanOptions& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan
