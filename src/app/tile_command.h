// `powderplan tile`: plans a step tile, by which a studio measures its own powders.
#pragma once

#include <iosfwd>
#include <string>

#include "app/tile_flags.h"
#include "measure/tile_plan.h"

namespace powderplan {

// The loads and grams of every cell, and what is worth knowing of them.
std::string tile_table(const TilePlan& plan);

// Throws Problem, or Interrupted; then no folder has been written.
void run_tile(const TileOptions& options, std::ostream& out);

}  // namespace powderplan
