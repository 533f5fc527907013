#include "measure/tile_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "glass/reactions.h"
#include "measure/tile_loads.h"
#include "nearest_word.h"
#include "problem.h"
#include "spoken.h"

namespace powderplan {
namespace {

// Two grounds nearer in lightness than this tell little apart that one would not.
constexpr double least_contrast = 30;

constexpr CellSize usual_cell{};
// Cells grow up to this where the scale asks for it: larger ones are hard to sift evenly.
constexpr CellSize grown_cell{30, 40};
constexpr double height_of_width = 1.2;

[[noreturn]] void refuse(std::string place, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::command_line, std::move(place), std::move(wrong), std::move(remedy));
}

template <class Entry>
std::string remedy_for_unknown(const std::vector<Entry>& known, const std::string& id) {
  std::vector<std::string_view> ids;
  ids.reserve(known.size());
  for (const Entry& entry : known)
    ids.push_back(entry.id);
  if (const auto near = nearest_word(id, ids))
    return fmt::format("did you mean {}?", *near);
  return fmt::format("it has {}", fmt::join(ids, ", "));
}

const Sheet& sheet_asked(const Palette& palette, const std::string& flag, const std::string& id) {
  const Sheet* sheet = palette.find_sheet(id);
  if (sheet == nullptr)
    refuse(flag, fmt::format("there is no sheet \"{}\" on the shelf", id),
           remedy_for_unknown(palette.sheets, id));
  if (sheet->body != Body::opalescent)
    refuse(flag, fmt::format("the sheet \"{}\" is transparent", id),
           "choose an opaque one: below clear glass the paper shows, with air between");
  return *sheet;
}

struct Grounds {
  const Sheet *light = nullptr, *dark = nullptr;
};

Grounds grounds_of(const Palette& palette, const TileRules& rules, const std::string& file) {
  Grounds grounds;
  const Density density = palette.glass.density;
  for (const Sheet& sheet : palette.sheets) {
    if (sheet.body != Body::opalescent)
      continue;
    const double lightness = lightness_of(sheet, density);
    if (grounds.light == nullptr || lightness > lightness_of(*grounds.light, density))
      grounds.light = &sheet;
    if (grounds.dark == nullptr || lightness < lightness_of(*grounds.dark, density))
      grounds.dark = &sheet;
  }
  if (!rules.light.empty())
    grounds.light = &sheet_asked(palette, "--light", rules.light);
  if (!rules.dark.empty())
    grounds.dark = &sheet_asked(palette, "--dark", rules.dark);
  constexpr std::string_view add =
      "add a light and a dark sheet of this family with body = \"opalescent\", e.g. white and black";
  if (grounds.light == nullptr || grounds.dark == nullptr)
    throw Problem(ProblemKind::input, file, "the shelf has no opaque sheet to lay a tile on",
                  std::string(add));
  const double light = lightness_of(*grounds.light, density), dark = lightness_of(*grounds.dark, density);
  if (light - dark >= least_contrast)
    return grounds;
  const std::string wrong = fmt::format(
      "the light sheet {} (lightness {:.0f}) and the dark sheet {} ({:.0f}) differ by less than {:g}",
      grounds.light->id, light, grounds.dark->id, dark, least_contrast);
  if (rules.light.empty() && rules.dark.empty())
    throw Problem(ProblemKind::input, file, wrong, std::string(add));
  refuse(rules.light.empty() ? "--dark" : "--light", wrong,
         "name two that differ more, or leave the choice to the program");
}

std::vector<const Powder*> powders_asked(const Palette& palette, const std::vector<std::string>& ids) {
  if (ids.empty())
    refuse("--powder", "no powder is named", remedy_for_unknown(palette.powders, ""));
  if (ids.size() > most_tile_rows)
    refuse("--powder", fmt::format("{} powders do not fit on one card", ids.size()),
           fmt::format("name at most {}, and plan another tile for the others", most_tile_rows));
  std::vector<const Powder*> powders;
  for (const std::string& id : ids) {
    const Powder* powder = palette.find_powder(id);
    if (powder == nullptr)
      refuse("--powder", fmt::format("there is no powder \"{}\" on the shelf", id),
             remedy_for_unknown(palette.powders, id));
    if (std::find(powders.begin(), powders.end(), powder) != powders.end())
      refuse("--powder", fmt::format("\"{}\" is named twice", id), "name each once");
    powders.push_back(powder);
  }
  return powders;
}

// As a person would write it, without the noise of binary fractions.
Grams grams_of(long steps, Grams scale) {
  constexpr double per_gram = 1e6;
  return Grams(std::round(static_cast<double>(steps) * scale.value() * per_gram) / per_gram);
}

double area_cm2(const CellSize& cell) {
  return cell.width * 2 * cell.height / 100;
}

CellSize cell_of_width(double width, double highest) {
  return {width, std::min(highest, std::round(width * height_of_width * 2) / 2)};
}

// From the usual size up, each no smaller than the one before; only one where the user chose.
std::vector<CellSize> sizes_to_try(const TileRules& rules, std::size_t rows) {
  const double widest = widest_cell(rules.page, rules.cells), highest = highest_cell(rules.page, rows);
  if (rules.cell_width) {
    const double width = rules.cell_width->value();
    if (width > widest)
      refuse("--cell-mm", fmt::format("{} cells of {:g} mm are wider than the card", rules.cells, width),
             fmt::format("at most {:g} mm fit, or take fewer cells", widest));
    return {cell_of_width(width, highest)};
  }
  CellSize cell{std::min(usual_cell.width, widest), std::min(usual_cell.height, highest)};
  const CellSize most{std::min(grown_cell.width, widest), std::min(grown_cell.height, highest)};
  std::vector<CellSize> sizes{cell};
  while (cell.width < most.width || cell.height < most.height) {
    cell = {std::min(cell.width + 1, most.width), std::min(cell.height + 2, most.height)};
    sizes.push_back(cell);
  }
  return sizes;
}

[[noreturn]] void refuse_scale(const Powder& powder, const LightnessWay& way, const TileRules& rules,
                               std::size_t rows, const CellSize& cell) {
  std::vector<std::string> would_do;
  const double widest = widest_cell(rules.page, rules.cells), highest = highest_cell(rules.page, rows);
  for (int width = static_cast<int>(cell.width) + 1; rules.cell_width && width <= widest; ++width) {
    const CellSize larger = cell_of_width(width, highest);
    if (cell_steps(way, rules.cells, area_cm2(larger), rules.scale)) {
      would_do.push_back(fmt::format("larger cells (--cell-mm {})", width));
      break;
    }
  }
  for (const double scale : {0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0001}) {
    if (scale < rules.scale.value() && cell_steps(way, rules.cells, area_cm2(cell), Grams(scale))) {
      would_do.push_back(fmt::format("a finer scale (--scale-g {:g})", scale));
      break;
    }
  }
  for (std::size_t cells = rules.cells - 1; static_cast<double>(cells) >= tile_cells.least; --cells) {
    if (cell_steps(way, cells, area_cm2(cell), rules.scale)) {
      would_do.push_back(fmt::format("fewer cells (--cells {})", cells));
      break;
    }
  }
  refuse(
      "--scale-g",
      fmt::format("{:g} g is too coarse for {}: its heaviest useful cell of {:g} x {:g} mm weighs {:.3g} g",
                  rules.scale.value(), powder.id, cell.width, 2 * cell.height,
                  way.last().value() * area_cm2(cell)),
      would_do.empty() ? "take a finer scale"
                       : fmt::format("what would do: {}", fmt::join(would_do, ", or ")));
}

struct Weighed {
  CellSize cell;
  std::vector<CellSteps> rows;
};

// The first size at which every powder's cells are evenly spread; else the largest.
Weighed weigh_cells(const std::vector<const Powder*>& powders, const std::vector<LightnessWay>& ways,
                    const TileRules& rules) {
  Weighed best;
  for (const CellSize& cell : sizes_to_try(rules, powders.size())) {
    best = {cell, {}};
    bool even = true;
    for (const LightnessWay& way : ways) {
      const auto steps = cell_steps(way, rules.cells, area_cm2(cell), rules.scale);
      even = even && steps && steps->even;
      if (steps)
        best.rows.push_back(*steps);
    }
    if (even)
      return best;
  }
  for (std::size_t i = 0; i < powders.size(); ++i)
    if (!cell_steps(ways[i], rules.cells, area_cm2(best.cell), rules.scale))
      refuse_scale(*powders[i], ways[i], rules, powders.size(), best.cell);
  return best;
}

std::vector<std::string> notes_of(const Palette& palette, const std::vector<const Powder*>& powders,
                                  const Grounds& grounds, const TileRules& rules, const Weighed& weighed) {
  std::vector<std::string> notes;
  if (!rules.cell_width && (weighed.cell.width > usual_cell.width || weighed.cell.height > usual_cell.height))
    notes.push_back(
        fmt::format("cells have grown to {:g} x {:g} mm, so that a scale of {:g} g shows the lightest",
                    weighed.cell.width, 2 * weighed.cell.height, rules.scale.value()));
  for (std::size_t i = 0; i < powders.size(); ++i) {
    const CellSteps& row = weighed.rows[i];
    if (!row.even)
      notes.push_back(
          fmt::format("{}: the lightest cell is {:g} g, the least that a scale of {:g} g weighs to a tenth; "
                      "even steps ask "
                      "for {:.2g} g there, so a finer scale would show more of the thin end",
                      powders[i]->id, grams_of(row.steps[1], rules.scale).value(), rules.scale.value(),
                      row.lightest_wished * rules.scale.value()));
  }
  for (const Reaction& pair : reactions_of(palette)) {
    if (!pair.sheet)
      continue;
    const Powder& powder = palette.powders[pair.powder];
    const Sheet& sheet = palette.sheets[*pair.sheet];
    if (std::find(powders.begin(), powders.end(), &powder) != powders.end() &&
        (&sheet == grounds.light || &sheet == grounds.dark))
      notes.push_back(
          fmt::format("{} darkens against the sheet {} ({}): choose another sheet, or the tile "
                      "shows the reaction and not the powder",
                      powder.id, sheet.id, spoken(pair.chemistry)));
  }
  return notes;
}

void check_numbers(const TileRules& rules) {
  if (!tile_cells.holds(static_cast<double>(rules.cells)))
    refuse("--cells", fmt::format("{} is out of range", rules.cells),
           fmt::format("it must be {}", text_of(tile_cells)));
  if (!tile_scales.holds(rules.scale.value()))
    refuse("--scale-g", fmt::format("{:g} is out of range", rules.scale.value()),
           fmt::format("it must be {}", text_of(tile_scales)));
  if (rules.cell_width && !tile_cell_widths.holds(rules.cell_width->value()))
    refuse("--cell-mm", fmt::format("{:g} is out of range", rules.cell_width->value()),
           fmt::format("it must be {}", text_of(tile_cell_widths)));
  if (rules.finish == Finish::unfired)
    refuse("--finish", "an unfired tile shows nothing of the fired colour", "choose tack, contour or full");
}

}  // namespace

TilePlan plan_tile(const Palette& palette, const std::vector<std::string>& ids, const TileRules& rules,
                   const std::string& palette_file) {
  check_numbers(rules);
  const std::vector<const Powder*> powders = powders_asked(palette, ids);
  const Grounds grounds = grounds_of(palette, rules, palette_file);
  std::vector<LightnessWay> ways;
  ways.reserve(powders.size());
  for (const Powder* powder : powders)
    ways.emplace_back(*powder, *grounds.light, *grounds.dark, palette.glass.density, rules.finish);
  const Weighed weighed = weigh_cells(powders, ways, rules);
  const TileLayout layout = layout_of_tile(rules.page, powders.size(), rules.cells, weighed.cell);

  TilePlan plan;
  plan.cell = weighed.cell;
  plan.notes = notes_of(palette, powders, grounds, rules, weighed);
  Tile& tile = plan.tile;
  tile.card = layout.card;
  tile.card_width = rules.page.width;
  tile.card_height = rules.page.height;
  tile.light_sheet = grounds.light->id;
  tile.dark_sheet = grounds.dark->id;
  tile.finish = rules.finish;
  tile.scale = rules.scale;
  for (std::size_t r = 0; r < powders.size(); ++r) {
    TileRow row{.powder = powders[r]->id, .name = powders[r]->name, .cells = {}};
    for (std::size_t c = 0; c < rules.cells; ++c) {
      const Grams grams = grams_of(weighed.rows[r].steps[c], rules.scale);
      row.cells.push_back({.load = Load(grams.value() / area_cm2(weighed.cell)),
                           .grams = grams,
                           .light = layout.rows[r][c].light,
                           .dark = layout.rows[r][c].dark});
    }
    tile.rows.push_back(std::move(row));
  }
  return plan;
}

}  // namespace powderplan
