// tile.json: a step tile as it was planned, for those who measure it.
#pragma once

#include <string>

#include "measure/tile.h"

namespace powderplan {

// The number under "schema". It grows when a key changes its meaning or goes away, not when one is added.
inline constexpr int tile_schema = 1;

// UTF-8 JSON; lengths in mm from the card's top left corner, boxes as [left, top, right, bottom], weights in
// g, loads in g/cm2. All numbers read back to the same double.
std::string tile_json(const Tile& tile);

// Reads it. `file` only names the place of faults. Throws Problem (input): no JSON, another schema, keys
// missing or of another type, numbers out of range, boxes inside out or off the card, a row that does not
// begin with a bare cell or does not get heavier from cell to cell, a powder that has two rows.
Tile parse_tile(const std::string& text, const std::string& file);

}  // namespace powderplan
