// What may stand behind `powderplan proof`.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace powderplan {

// As typed; nothing is checked yet.
struct ProofOptions {
  std::vector<std::string> plan, palettes, room, wall, wall_mm, at_mm, paint, paper, out;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_proof(CLI::App& app, ProofOptions& options);

}  // namespace powderplan
