// `powderplan fit`: from a photo of a fired step tile, spectra or swatches to measured powders of a palette.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
#include <string>
#include <vector>

#include "report/fit_chart.h"

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

// Every step measured and predicted, and how well the powder is known.
std::string fit_table(const FittedPowder& powder);

// Throws Problem, or Interrupted; then the palette is as it was.
void run_fit(const FitOptions& options, std::ostream& out);

}  // namespace powderplan
