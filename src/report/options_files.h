// Options as files: the board, a picture of each, and their figures for other programs.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "report/options_board.h"
#include "report/own_folder.h"

namespace powderplan {

// Where they would go, checked before any work is done. Throws Problem as check_own_folder.
OwnPlace check_options_folder(const std::filesystem::path& folder, bool replace);

// options.png, options.json, pictures/1.png, ...: the folder appears whole or not at all. `may_go_on` is
// called before each file; when it throws, nothing is left. Returns a note, or nothing. Throws Problem.
std::string write_options(const std::vector<PlanOption>& options, const OwnPlace& place,
                          const std::function<void()>& may_go_on = {});

// The number under "schema".
inline constexpr int options_schema = 1;
std::string options_json(const std::vector<PlanOption>& options);

}  // namespace powderplan
