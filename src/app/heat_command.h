// `powderplan heat`: what a schedule that a studio already uses makes of its powders.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
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

// Throws Problem, or Interrupted; then no plot has been written.
void run_heat(const HeatOptions& options, std::ostream& out);

}  // namespace powderplan
