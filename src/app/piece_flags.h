// The settings of a piece on the command line, alone or over those of a piece file.
#pragma once

#include <CLI/App.hpp>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "plan/settings.h"

namespace powderplan {

// What belongs to one run and not to the piece.
inline constexpr std::string_view run_group = "This run";

// As typed; nothing is checked yet.
struct PieceFlags {
  std::map<const Setting*, std::vector<std::string>> settings;  // those that were given
  std::vector<std::string> piece, max_megapixels, threads, kept;
};

// `flags` must outlive the parsing.
void add_piece_flags(CLI::App& command, PieceFlags& flags);

}  // namespace powderplan
