// What may stand behind `powderplan palette`.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace powderplan {

// As typed; nothing is checked yet.
struct PaletteOptions {
  std::vector<std::string> files, out;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_palette(CLI::App& app, PaletteOptions& options);

}  // namespace powderplan
