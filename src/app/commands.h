// All commands of the program with their flags: what its command line, its manual and its completion are made
// of.
#pragma once

#include <CLI/App.hpp>
#include <functional>
#include <iosfwd>
#include <vector>

#include "app/compare_flags.h"
#include "app/fit_flags.h"
#include "app/heat_flags.h"
#include "app/options_flags.h"
#include "app/palette_flags.h"
#include "app/plan_flags.h"
#include "app/proof_flags.h"
#include "app/stock_flags.h"
#include "app/tile_flags.h"

namespace powderplan {

// Where the words of a command line go.
struct CommandOptions {
  PlanOptions plan;
  OptionsOptions options;
  PaletteOptions palette;
  HeatOptions heat;
  TileOptions tile;
  FitOptions fit;
  CompareOptions compare;
  ProofOptions proof;
  StockOptions stock;
};

struct Command {
  const CLI::App* flags;
  // Does what the options ask for. Throws Problem or Interrupted.
  std::function<void(std::ostream& out, std::ostream& err)> run;
};

// Makes `app` the program's command line. What it reads goes into `options`, which must stay where it is as
// long as `app` and the commands returned are in use.
std::vector<Command> set_up_program(CLI::App& app, CommandOptions& options);

}  // namespace powderplan
