// `powderplan palette`: what is on the shelf, and whether it holds together.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
#include <string>
#include <vector>

#include "glass/palette.h"

namespace powderplan {

// As typed; nothing is checked yet.
struct PaletteOptions {
  std::vector<std::string> files, out;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_palette(CLI::App& app, PaletteOptions& options);

// Powders and sheets with their bodies, loads and how well they are known.
std::string palette_table(const Palette& palette);

// Throws Problem, or Interrupted; then no chart has been written.
void run_palette(const PaletteOptions& options, std::ostream& out);

}  // namespace powderplan
