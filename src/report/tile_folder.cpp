#include "report/tile_folder.h"

#include <fmt/format.h>

#include <optional>

#include "measure/tile_file.h"
#include "raster/png.h"
#include "report/own_folder.h"
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

}  // namespace

void check_tile_folder(const fs::path& folder, bool replace) {
  check_own_folder(folder, replace, {"tile", "tile.json", tile_folder_entries});
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
