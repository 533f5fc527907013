// The comparison of a fired piece with its plan, as files.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "report/own_folder.h"
#include "report/piece_comparison.h"
#include "report/plan_record.h"

namespace powderplan {

// Everything in numbers, as JSON. `photo` is the photo's name.
std::string comparison_json(const PlanRecord& record, const PieceComparison& comparison,
                            const std::string& photo, const std::vector<std::string>& notes);

// compare.json, comparison.png, seen.png, difference.png in a folder of their own, whole or not at all.
// Throws Problem as write_own_folder does. Returns what the user should know, mostly nothing.
std::string write_comparison(const PlanRecord& record, const PieceComparison& comparison,
                             const std::string& photo, const std::vector<std::string>& notes,
                             const OwnPlace& place, const std::function<void()>& may_go_on = {});
// Before the work: throws Problem (command_line) when something is there that is not to be replaced, or is no
// comparison.
OwnPlace check_comparison_folder(const std::filesystem::path& folder, bool replace);

}  // namespace powderplan
