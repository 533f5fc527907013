// `powderplan tile`: plans a step tile, by which a studio measures its own powders.
#pragma once

#include <CLI/App.hpp>
#include <iosfwd>
#include <string>
#include <vector>

#include "measure/tile_plan.h"

namespace powderplan {

// As typed; nothing is checked yet.
struct TileOptions {
  std::vector<std::string> palette, powders, cells, scale, cell_width, light, dark, finish, paper, out;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_tile(CLI::App& app, TileOptions& options);

// The loads and grams of every cell, and what is worth knowing of them.
std::string tile_table(const TilePlan& plan);

// Throws Problem, or Interrupted; then no folder has been written.
void run_tile(const TileOptions& options, std::ostream& out);

}  // namespace powderplan
