// `powderplan proof`: the page for the client again, with the piece in a photo of the client's room.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
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

// Throws Problem, or Interrupted; then nothing has been written.
void run_proof(const ProofOptions& options, std::ostream& out);

}  // namespace powderplan
