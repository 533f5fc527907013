// What may stand behind `powderplan tile`.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace powderplan {

// As typed; nothing is checked yet.
struct TileOptions {
  std::vector<std::string> palette, powders, cells, scale, cell_width, light, dark, finish, paper, out;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_tile(CLI::App& app, TileOptions& options);

}  // namespace powderplan
