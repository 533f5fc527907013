// The project's own shelves, and tiles planned for them.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "glass/palette.h"
#include "measure/tile_plan.h"
#include "places.h"

namespace powderplan {

inline const Palette& marsh_shelf() {
  static const Palette shelf = [] {
    const std::string file = testing::source_folder() + "/palettes/marsh-full.toml";
    std::ifstream in(file, std::ios::binary);
    return parse_palette({std::istreambuf_iterator<char>(in), {}}, file);
  }();
  return shelf;
}

inline TilePlan marsh_tile(const std::vector<std::string>& powders, const TileRules& rules = {}) {
  return plan_tile(marsh_shelf(), powders, rules, "shelf.toml");
}

}  // namespace powderplan
