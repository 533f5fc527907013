// What may stand behind `powderplan stock`.
#pragma once

#include <CLI/App.hpp>
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

}  // namespace powderplan
