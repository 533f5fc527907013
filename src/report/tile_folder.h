// The folder of a step tile: written whole or not at all.
#pragma once

#include <array>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

#include "glass/palette.h"
#include "measure/tile_plan.h"
#include "report/own_folder.h"

namespace powderplan {

// What such a folder holds. One with anything else in it is never replaced: it may be somebody's work, a
// photo of the fired tile, say.
inline constexpr std::array<std::string_view, 3> tile_folder_entries{"tile.json", "templates.pdf",
                                                                     "worksheet.html"};

// Where a tile would go, looked at before any work is done. Throws Problem (command_line): something is there
// and `replace` is false, or it is there and no tile's folder; (other): the folder that would hold it is
// missing or cannot be written.
OwnPlace check_tile_folder(const std::filesystem::path& folder, bool replace);

// Throws Problem as write_own_folder does; nothing is left behind then.
// `may_go_on` is called before each file and before the folder appears; what it throws ends the work. Returns
// what the user should know, mostly nothing.
std::string write_tile_folder(const Palette& palette, const TilePlan& plan, const OwnPlace& place,
                              const std::function<void()>& may_go_on = {});

}  // namespace powderplan
