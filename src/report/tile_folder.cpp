#include "report/tile_folder.h"

#include "measure/tile_file.h"
#include "report/own_folder.h"
#include "report/tile_pdf.h"
#include "report/tile_worksheet.h"
#include "version.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr FolderKind kind{"tile", "tile.json", tile_folder_entries};

}  // namespace

OwnPlace check_tile_folder(const fs::path& folder, bool replace) {
  return check_own_folder(folder, replace, kind);
}

std::string write_tile_folder(const Palette& palette, const TilePlan& plan, const OwnPlace& place,
                              const std::function<void()>& may_go_on) {
  return write_own_folder(
      place, kind,
      {{"tile.json", [&] { return bytes_of(tile_json(plan.tile)); }},
       {"templates.pdf", [&] { return tile_pdf(plan.tile); }},
       {"worksheet.html",
        [&] { return bytes_of(tile_worksheet(palette, plan, std::string(program_version()))); }}},
      may_go_on);
}

}  // namespace powderplan
