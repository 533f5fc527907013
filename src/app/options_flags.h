// What may stand behind `powderplan options`.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "app/piece_flags.h"

namespace powderplan {

// What is tried where nothing is named.
inline constexpr std::string_view usual_tries = "layers=6,8,12";

// As typed; nothing is checked yet.
struct OptionsOptions {
  PieceFlags piece;
  std::vector<std::string> tried, out;
  bool replace = false;
};

// Adds the command; `options` must outlive the parsing.
CLI::App* setup_options(CLI::App& app, OptionsOptions& options);

}  // namespace powderplan
