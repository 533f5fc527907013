#include "app/tile_flags.h"

#include <string_view>

#include "app/option_help.h"

namespace powderplan {
namespace {

constexpr std::string_view example = R"(Example:
  powderplan tile --palette shelf.toml --powder heron-grey,sedge-green --out tile-1

A powder's cells lie over a strip of light and a strip of dark opaque sheet, one of them bare, the others
from a thin to a full coat, evenly spread in lightness. The folder gets a page for the bench, templates at
true size (the card that is photographed among them) and tile.json, by which the photo is read.
Dust: P100 or N95 respirator, extraction, wet cleaning.)";

}  // namespace

CLI::App* setup_tile(CLI::App& app, TileOptions& options) {
  CLI::App* command = app.add_subcommand("tile", "Plans a step tile to measure powders by");
  add_text(*command, "--palette", "FILE", "shelf with the powders and sheets", options.palette);
  add_text(*command, "--powder", "ID[,ID...]", "up to four powders, a row each", options.powders);
  add_text(*command, "--cells", "N", "of each powder, 3 to 10 [7: six loads and the bare one]",
           options.cells);
  add_text(*command, "--scale-g", "G", "smallest step of the scale [0.01]", options.scale);
  add_text(*command, "--cell-mm", "MM", "width of a cell [20, or what scale and page ask for]",
           options.cell_width);
  add_text(*command, "--light", "ID", "opaque sheet of the light strip [the lightest]", options.light);
  add_text(*command, "--dark", "ID", "opaque sheet of the dark strip [the darkest]", options.dark);
  add_text(*command, "--finish", "tack|contour|full", "to fire the tile to [full]", options.finish);
  add_text(*command, "--paper", "a4|letter", "to print on [a4]", options.paper);
  add_text(*command, "--out", "FOLDER", "where to put it", options.out);
  command->add_flag("--replace", options.replace, "replace the tile that is there already");
  command->footer(std::string(example));
  return command;
}

}  // namespace powderplan
