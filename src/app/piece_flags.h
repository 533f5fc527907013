// The settings of a piece on the command line, alone or over those of a piece file.
#pragma once

#include <CLI/App.hpp>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan/request.h"
#include "plan/settings.h"
#include "problem.h"

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

// The piece file, read; nothing where none is named.
struct PieceText {
  std::optional<std::filesystem::path> file;
  std::string text;
};
PieceText piece_text_of(const PieceFlags& flags);

// The piece file's settings, those of the flags over them, all checked. Throws Problem; one that lies in the
// piece file names its line.
PlanRequest request_of(const PieceFlags& flags, const PieceText& piece);

// A complaint about a flag that was never typed is one about the piece file. To be called while `problem` is
// being handled.
[[noreturn]] void rethrow_at_its_origin(const Problem& problem, const PieceFlags& flags,
                                        const PieceText& piece);

}  // namespace powderplan
