// The piece file: what is to be made, in TOML, as plan/settings.h lists it.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "plan/request.h"
#include "plan/settings.h"

namespace powderplan {

// The request that the text makes; what it does not say keeps its default. `file` names the place of a fault,
// and pictures and palettes are looked for from its folder.
// Throws Problem (input) with file and line: bad TOML, unknown tables or keys, wrong types, words that are
// not among those known, numbers out of range or not finite.
PlanRequest parse_piece(const std::string& toml, const std::filesystem::path& file);

// Where the text sets what this flag sets ("piece.toml:7"); empty when it does not, or is no TOML.
std::optional<std::string> place_in_piece(const std::string& toml, const std::filesystem::path& file,
                                          std::string_view flag);

// Of a piece file that lacks what no plan can be made without: names the table and the key. Throws Problem
// (input).
[[noreturn]] void refuse_unfinished_piece(const std::string& toml, const std::filesystem::path& file,
                                          const Missing& missing);

}  // namespace powderplan
