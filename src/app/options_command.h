// `powderplan options`: plans that differ in a few settings, side by side, to choose among.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
#include <string>
#include <vector>

#include "app/piece_flags.h"

namespace powderplan {

// As typed; nothing is checked yet.
struct OptionsOptions {
  PieceFlags piece;
  std::vector<std::string> tried, out;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_options(CLI::App& app, OptionsOptions& options);

// Throws Problem, or Interrupted; then nothing has been written.
void run_options(const OptionsOptions& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan
