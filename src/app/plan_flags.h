// What may stand behind `powderplan plan`.
#pragma once

#include <CLI/App.hpp>
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

}  // namespace powderplan
