// What the flags of a piece and its piece file ask for together.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "app/piece_flags.h"
#include "plan/request.h"
#include "problem.h"

namespace powderplan {

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
