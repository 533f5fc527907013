#include "report/tile_folder.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <system_error>

#include "measure/tile_file.h"
#include "problem.h"
#include "raster/png.h"
#include "report/tile_pdf.h"
#include "report/tile_worksheet.h"
#include "report/whole_folder.h"
#include "version.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

std::vector<std::uint8_t> bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}

// A folder that the program may remove on request: a tile's, or empty.
void need_tile_folder(const fs::path& folder) {
  const auto refuse = [&](const std::string& wrong) {
    throw Problem(ProblemKind::command_line, folder.string(), wrong, "choose another name for the tile");
  };
  std::error_code error;
  if (!fs::is_directory(folder, error))
    refuse("is there and is no folder");
  bool empty = true, tile = false;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    if (std::find(tile_folder_entries.begin(), tile_folder_entries.end(), name) == tile_folder_entries.end())
      refuse(fmt::format("holds \"{}\", which is no part of a tile, and so is not replaced", name));
    empty = false;
    tile = tile || name == "tile.json";
  }
  if (!empty && !tile)
    refuse("is there and is no tile: it has no tile.json");
}

}  // namespace

void check_tile_folder(const fs::path& folder, bool replace) {
  const fs::path full = full_folder_path(folder);
  std::error_code error;
  if (fs::exists(fs::symlink_status(full, error))) {
    if (!replace)
      throw Problem(ProblemKind::command_line, full.string(), "is already there",
                    "choose another name, or say --replace");
    need_tile_folder(full);
  }
  // Some places look writable and are not: only a try tells. What it makes is gone at once.
  const WholeFolder tried(full);
}

std::string write_tile_folder(const Palette& palette, const TilePlan& plan, const fs::path& folder,
                              bool replace, const std::function<void()>& may_go_on) {
  check_tile_folder(folder, replace);
  WholeFolder whole(folder);
  const auto put = [&](std::string_view name, const std::vector<std::uint8_t>& bytes) {
    if (may_go_on)
      may_go_on();
    write_bytes(whole.path() / name, bytes);
  };
  put("tile.json", bytes_of(tile_json(plan.tile)));
  put("templates.pdf", tile_pdf(plan.tile));
  put("worksheet.html", bytes_of(tile_worksheet(palette, plan, std::string(program_version()))));
  if (may_go_on)
    may_go_on();
  // Once more: somebody may have written there meanwhile.
  check_tile_folder(folder, replace);
  if (const std::optional<fs::path> left = whole.commit(replace))
    return fmt::format("the tile that was there before could not be removed; it lies in {} now",
                       left->string());
  return "";
}

}  // namespace powderplan
