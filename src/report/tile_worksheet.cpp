#include "report/tile_worksheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "firing/piece_thickness.h"
#include "firing/starting_schedule.h"
#include "measure/tile_layout.h"
#include "report/bench_numbers.h"
#include "report/cautions.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

const Sheet& sheet_of(const Palette& palette, const std::string& id) {
  return *palette.find_sheet(id);
}

PageData rows_of(const Tile& tile) {
  PageData rows(PageData::type::list);
  for (const TileRow& row : tile.rows) {
    PageData cells(PageData::type::list);
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      const TileCell& cell = row.cells[i];
      const bool bare = cell.grams == Grams(0);
      const std::string grams = shown_on_scale(cell.grams, tile.scale);
      PageData one;
      one.set("number", std::to_string(i + 1));
      one.set("bare", bare);
      one.set("grams", grams.substr(0, grams.find(' ')));
      one.set("load", shown(cell.load));
      cells.push_back(one);
    }
    PageData data;
    data.set("name", page_text(row.name));
    data.set("id", page_text(row.powder));
    data.set("cells", cells);
    rows.push_back(data);
  }
  return rows;
}

PageData legs_of(const Schedule& schedule) {
  PageData list(PageData::type::list);
  for (std::size_t i = 0; i < schedule.size(); ++i) {
    const Segment& segment = schedule[i];
    PageData leg;
    leg.set("number", std::to_string(i + 1));
    leg.set("rate", fmt::format("{:.0f}", std::abs(segment.rate_c_per_h)));
    leg.set("rate_f", fmt::format("{:.0f}", std::abs(segment.rate_c_per_h) * 1.8));
    leg.set("to", shown(segment.to));
    leg.set("to_f", shown_fahrenheit(segment.to));
    leg.set("hold", segment.hold_min > 0 ? shown_minutes(segment.hold_min) : std::string("none"));
    list.push_back(leg);
  }
  return list;
}

std::string names_of(const Tile& tile) {
  std::vector<std::string> names;
  for (const TileRow& row : tile.rows)
    names.push_back(row.name);
  return spoken(names);
}

std::string size_of(const BoxMm& strip) {
  return fmt::format("{:g} \u00d7 {:g} mm", strip.right - strip.left, strip.bottom - strip.top);
}

}  // namespace

Millimetres thickness_of_tile(const Palette& palette, const Tile& tile) {
  Load most;
  for (const TileRow& row : tile.rows) {
    for (const TileCell& cell : row.cells)
      most = std::max(most, cell.load);
  }
  return std::max(sheet_of(palette, tile.light_sheet).thickness,
                  sheet_of(palette, tile.dark_sheet).thickness) +
         glass_thickness(most, palette.glass.density);
}

Schedule schedule_of_tile(const Palette& palette, const Tile& tile) {
  std::vector<std::size_t> powders;
  for (const TileRow& row : tile.rows)
    powders.push_back(static_cast<std::size_t>(palette.find_powder(row.powder) - palette.powders.data()));
  return starting_schedule(palette.glass, thickness_of_tile(palette, tile), tile.finish,
                           median_grain(palette, powders));
}

std::string tile_worksheet(const Palette& palette, const TilePlan& plan, const std::string& program_version) {
  const Tile& tile = plan.tile;
  const Schedule schedule = schedule_of_tile(palette, tile);
  const StripPair strips = strips_of(tile.rows.front());
  PageData notes(PageData::type::list);
  for (const std::string& note : plan.notes)
    notes.push_back(PageData("note", page_text(note)));

  PageData page;
  page.set("title", page_text(names_of(tile)));
  page.set("finish", std::string(name_of(tile.finish)));
  page.set("light", page_text(sheet_of(palette, tile.light_sheet).name));
  page.set("dark", page_text(sheet_of(palette, tile.dark_sheet).name));
  page.set("strips", counted(tile.rows.size(), "strip"));
  page.set("light_size", size_of(strips.light));
  page.set("dark_size", size_of(strips.dark));
  page.set("thickness", fmt::format("{:.1f}", thickness_of_tile(palette, tile).value()));
  page.set("cell", fmt::format("{:g} \u00d7 {:g} mm", plan.cell.width, 2 * plan.cell.height));
  page.set("gap", fmt::format("{:g}", cell_gap));
  page.set("edge", fmt::format("{:g}", strip_edge));
  page.set("scale", fmt::format("{:g}", tile.scale.value()));
  page.set("rows", rows_of(tile));
  page.set("crowding", std::string(tile.rows.size() > 2   ? "crowded"
                                   : tile.rows.size() > 1 ? "middling"
                                                          : "roomy"));
  page.set("narrow", tile.rows.front().cells.size() > 7);
  page.set("legs", legs_of(schedule));
  page.set("hours", fmt::format("{:.0f}", std::ceil(hours_of(schedule))));
  page.set("family", page_text(palette.family));
  page.set("any_family", !palette.family.empty());
  page.set("any_notes", !plan.notes.empty());
  page.set("notes", notes);
  page.set("dust_reminder", dust_reminder());
  page.set("kiln_reminder", kiln_reminder());
  page.set("version", page_text(program_version));

  return rendered("tile.html", page);
}

}  // namespace powderplan
