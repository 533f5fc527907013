#include <fmt/format.h>

#include <algorithm>

#include "report/bench_numbers.h"
#include "report/cautions.h"
#include "report/stage.h"
#include "report/stencil_files.h"
#include "report/worksheet.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

// The first page of the layer's template, or of one of its small ones.
std::size_t page_of(const PlanRecord& record, std::size_t layer, std::optional<std::size_t> repeat) {
  const std::vector<CutSheet> sheets = cut_sheets(record);
  const std::vector<std::size_t> pages = first_pages(record);
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    if (sheets[i].layer == layer && sheets[i].repeat == repeat)
      return pages[i];
  }
  return 0;
}

std::string file_of(const PlanRecord& record, std::size_t layer, std::optional<std::size_t> repeat) {
  for (const CutSheet& sheet : cut_sheets(record)) {
    if (sheet.layer == layer && sheet.repeat == repeat)
      return sheet.file + ".svg";
  }
  return {};
}

// "3", "3 and 5", "3, 5 and 8".
std::string spoken_numbers(const std::vector<std::size_t>& places) {
  std::vector<std::string> numbers;
  for (const std::size_t place : places)
    numbers.push_back(std::to_string(place + 1));
  return spoken(numbers);
}

PageData repeats(const PlanRecord& record, std::size_t layer) {
  PageData list(PageData::type::list);
  const CutStencil& cut = *record.layers[layer].stencil;
  for (std::size_t r = 0; r < cut.repeats.size(); ++r) {
    const Repeat& repeat = cut.repeats[r].repeat;
    PageData places(PageData::type::list);
    for (std::size_t k = 0; k < std::min(repeat.places.size(), most_places_listed); ++k) {
      const RepeatPlace& place = repeat.places[k];
      PageData row;
      row.set("place", std::to_string(k + 1));
      row.set("x", fmt::format("{:.1f}", place.centre.x));
      row.set("y", fmt::format("{:.1f}", place.centre.y));
      row.set("turn", fmt::format("{:.0f}", place.angle_deg));
      places.push_back(row);
    }
    PageData item;
    item.set("file", file_of(record, layer, r));
    item.set("page", std::to_string(page_of(record, layer, r)));
    item.set("times", std::to_string(repeat.places.size()));
    item.set("places", places);
    item.set("more", repeat.places.size() > most_places_listed);
    item.set("saves", cut.repeats[r].saved_minutes > 0);
    item.set("saved", shown_minutes(cut.repeats[r].saved_minutes));
    item.set("any_close", !repeat.too_close.empty());
    item.set("close", spoken_numbers(repeat.too_close));
    list.push_back(item);
  }
  return list;
}

}  // namespace

PageData template_facts(const PlanRecord& record, std::size_t layer) {
  const CutStencil& cut = *record.layers[layer].stencil;
  PageData facts;
  facts.set("number", std::to_string(layer + 1));
  facts.set("name", page_text(powder_of(record, record.layers[layer]).name));
  facts.set("file", file_of(record, layer, std::nullopt));
  facts.set("page", std::to_string(page_of(record, layer, std::nullopt)));
  facts.set("openings", counted(cut.effort.openings, "opening"));
  facts.set("bridges", counted(cut.effort.bridges, "bridge"));
  facts.set("any_bridges", cut.effort.bridges > 0);
  facts.set("opening_count", std::to_string(cut.effort.openings));
  facts.set("bridge_count", std::to_string(cut.effort.bridges));
  facts.set("length", fmt::format("{:.1f} m", cut.effort.cut.value() / 1000));
  facts.set("minutes", shown_minutes(std::max(1.0, cut.effort.minutes)));
  facts.set("stock", std::string(cut.stock.stock.name));
  facts.set("reason", cut.stock.reason);
  facts.set("limp", !cut.stock.stiff_enough);
  facts.set("raised", record.firing_plan.places[layer].raised);
  facts.set("in_parts", cut.part != 0);
  facts.set("part", std::to_string(cut.part));
  facts.set("pinned", !cut.stencil.pins.empty());
  facts.set("any_repeats", !cut.repeats.empty());
  facts.set("repeats", repeats(record, layer));
  return facts;
}

void add_cutting(PageData& page, const PlanRecord& record) {
  PageData list(PageData::type::list);
  double minutes = 0;
  std::size_t stencils = 0, small = 0;
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    if (!record.layers[i].stencil)
      continue;
    list.push_back(template_facts(record, i));
    minutes += record.layers[i].stencil->effort.minutes;
    small += record.layers[i].stencil->repeats.size();
    ++stencils;
  }
  page.set("any_stencils", stencils > 0);
  page.set("stencils", list);
  page.set("stencil_count", counted(stencils, "stencil"));
  page.set("bridge_total", counted(static_cast<std::size_t>(record.bridges), "bridge"));
  page.set("any_small", small > 0);
  page.set("small_count", counted(small, "small template"));
  page.set("cutting_time", shown_minutes(std::max(1.0, minutes)));
  page.set("cut_reminder", cut_reminder());
}

}  // namespace powderplan
