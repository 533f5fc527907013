// What may stand behind `powderplan fit`.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace powderplan {

// As typed; nothing is checked yet.
struct FitOptions {
  std::vector<std::string> photo, tile, grams, marks, reference;
  std::vector<std::string> spectra, gloss;
  std::vector<std::string> swatches;
  std::vector<std::string> palette, powders, body, grain, chart;
  bool update = false, replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_fit(CLI::App& app, FitOptions& options);

}  // namespace powderplan
