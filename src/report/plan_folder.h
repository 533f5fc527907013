// The plan folder: written whole or not at all.
#pragma once

#include <array>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "report/own_folder.h"
#include "report/plan_record.h"

namespace powderplan {

// What a plan folder may hold at its top. A folder with anything else in it is never replaced: it may be
// somebody's work.
inline constexpr std::array<std::string_view, 13> plan_folder_entries{
    "plan.json", "worksheet.html", "worksheet.pdf", "proof.png", "proof.pdf",  "grams.csv", "previews",
    "layers",    "stencils",       "templates.pdf", "schedules", "separation", "panels"};

// Where a plan would go, checked before any work is done. Throws Problem
// (command_line): something is there and `replace` is false, or it is there and no plan folder;
// (other): the folder that would hold it is missing or cannot be written.
OwnPlace check_plan_folder(const std::filesystem::path& folder, bool replace);

// A moment of the piece, looked at: files of it, and smaller pictures for those that are made of it.
struct LookedAt {
  std::vector<std::vector<std::uint8_t>> files;
  std::vector<Image<Rgb8>> small;
};
// Gives what look() would, by whatever way; the name tells moments apart. Called from several threads.
using LookKeeper = std::function<LookedAt(const std::string& name, const std::function<LookedAt()>& look)>;

// Writes everything into a sibling ".NAME.partial-XXXXXX", which takes NAME when it is done, so that NAME is
// either as it was found or a complete plan, even after a crash; a sibling that a killed run left behind is
// cleared away. Throws Problem (other) when the disk does not take a file, or anything else has come to NAME
// meanwhile; nothing is left behind then. Returns what the user should know, mostly nothing.
// `may_go_on` is called before each file, from several threads, and before the renaming; what it throws ends
// the work. `keeper`: not set, every moment is looked at.
std::vector<std::string> write_plan_folder(const PlanRecord& record, const OwnPlace& place,
                                           const std::function<void()>& may_go_on = {},
                                           const LookKeeper& keeper = {});
// The same at a place that is checked only now.
std::vector<std::string> write_plan_folder(const PlanRecord& record, const std::filesystem::path& folder,
                                           bool replace, const std::function<void()>& may_go_on = {},
                                           const LookKeeper& keeper = {});

}  // namespace powderplan
