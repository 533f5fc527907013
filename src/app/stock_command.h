// `powderplan stock`: what plans take off the jars, what is to be ordered, and the jars' new contents.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
#include <string>
#include <vector>

namespace powderplan {

// As typed; nothing is checked yet.
struct StockOptions {
  std::vector<std::string> plans, palettes, firings, weights, reserve;
  bool take = false, again = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_stock(CLI::App& app, StockOptions& options);

// Throws Problem, or Interrupted; then palettes and records are as they were.
void run_stock(const StockOptions& options, std::ostream& out);

}  // namespace powderplan
