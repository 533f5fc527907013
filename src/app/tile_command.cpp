#include "app/tile_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <ostream>

#include "app/interrupt.h"
#include "app/usual_flags.h"
#include "glass/palette.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "report/bench_numbers.h"
#include "report/cautions.h"
#include "report/files.h"
#include "report/paper.h"
#include "report/tile_folder.h"
#include "spoken.h"
#include "utf8.h"

namespace powderplan {
namespace {

// The only value behind a flag that may be given once.
std::string text_or(std::string_view flag, const std::vector<std::string>& said, std::string otherwise) {
  return said.empty() ? std::move(otherwise) : FlagAnswer(std::string(flag), said).text();
}

CardPage page_of(const TileOptions& options) {
  const Paper& paper = paper_said(options.paper);
  return {paper.width.value(), paper.height.value()};
}

TileRules rules_of(const TileOptions& options) {
  TileRules rules;
  if (!options.cells.empty())
    rules.cells = static_cast<std::size_t>(FlagAnswer("--cells", options.cells).whole(tile_cells));
  if (!options.scale.empty())
    rules.scale = Grams(FlagAnswer("--scale-g", options.scale).number(tile_scales));
  if (!options.cell_width.empty())
    rules.cell_width = Millimetres(FlagAnswer("--cell-mm", options.cell_width).number(tile_cell_widths));
  rules.light = text_or("--light", options.light, "");
  rules.dark = text_or("--dark", options.dark, "");
  const std::string finish = text_or("--finish", options.finish, std::string(name_of(rules.finish)));
  const std::optional<Finish> named = finish_named(finish);
  if (!named || *named == Finish::unfired)
    FlagAnswer("--finish", options.finish)
        .fail(fmt::format("\"{}\" is none of its values", finish), "choose tack, contour or full");
  rules.finish = *named;
  rules.page = page_of(options);
  return rules;
}

}  // namespace

std::string tile_table(const TilePlan& plan) {
  const Tile& tile = plan.tile;
  std::string text =
      fmt::format("Step tile of {}, fired to {}: cells of {:g} x {:g} mm, half on {}, half on {}\n",
                  counted(tile.rows.size(), "powder"), name_of(tile.finish), plan.cell.width,
                  2 * plan.cell.height, tile.light_sheet, tile.dark_sheet);
  Grams all;
  for (const TileRow& row : tile.rows) {
    text += fmt::format("\n  {}\n  {:<8}  {:>10}  {:>10}\n", row.powder, "cell", "load g/cm2", "grams");
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      const TileCell& cell = row.cells[i];
      const std::string grams = shown_on_scale(cell.grams, tile.scale);
      text += fmt::format("  {:<8}  {:>10.4f}  {:>10}\n",
                          cell.grams == Grams(0) ? fmt::format("{} bare", i + 1) : std::to_string(i + 1),
                          cell.load.value(), grams.substr(0, grams.find(' ')));
      all += cell.grams;
    }
  }
  text += fmt::format("\n{} of powder in all.\n", shown(all));
  for (const std::string& note : plan.notes)
    text += fmt::format("Note: {}.\n", note);
  return text;
}

void run_tile(const TileOptions& options, std::ostream& out) {
  need(options.palette, "--palette", "name the file of your shelf");
  need(options.out, "--out", "name a new folder, e.g. --out tile");
  const std::string file = FlagAnswer("--palette", options.palette).text();
  const std::filesystem::path folder = FlagAnswer("--out", options.out).file();
  const TileRules rules = rules_of(options);
  std::vector<std::string> powders;
  if (!options.powders.empty())
    powders = FlagAnswer("--powder", options.powders, true).texts();
  const OwnPlace place = looked_at([&] { return check_tile_folder(folder, options.replace); });
  const Palette palette = parse_palette(read_text_file(file), file);
  const TilePlan plan = plan_tile(palette, powders, rules, file);
  const SignalGuard guard;
  const std::string note = write_tile_folder(palette, plan, place, SignalGuard::check);
  out << tile_table(plan);
  if (!note.empty())
    out << fmt::format("Note: {}.\n", note);
  out << fmt::format(
      "\nIn {}: print templates.pdf at 100 % and follow worksheet.html; keep tile.json for the photo.\n{}\n",
      plain_text(folder.string()), dust_reminder());
}

}  // namespace powderplan
