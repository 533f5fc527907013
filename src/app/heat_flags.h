// What may stand behind `powderplan heat`.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace powderplan {

// As typed; nothing is checked yet.
struct HeatOptions {
  std::vector<std::string> file, legs, palettes, thickness, grains, faces, plot;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_heat(CLI::App& app, HeatOptions& options);

}  // namespace powderplan
