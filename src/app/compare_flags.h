// What may stand behind `powderplan compare`.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace powderplan {

// As typed; nothing is checked yet.
struct CompareOptions {
  std::vector<std::string> photo, plan, palettes, weights, after_firing, marks, corners, reference, out,
      replan, cards, paper, threads;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_compare(CLI::App& app, CompareOptions& options);

}  // namespace powderplan
