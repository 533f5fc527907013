#include <fmt/format.h>

#include <algorithm>

#include "report/bench_numbers.h"
#include "report/cautions.h"
#include "report/panel_drawing.h"
#include "report/panel_files.h"
#include "report/panel_words.h"
#include "report/stage.h"
#include "report/worksheet.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

PageData cut_rows(const PlanRecord& record) {
  PageData list(PageData::type::list);
  for (std::size_t i = 0; i < record.panels.cuts.size(); ++i) {
    const PanelCut& cut = record.panels.cuts[i];
    PageData row;
    row.set("number", std::to_string(i + 1));
    row.set("way", way_in_words(cut));
    row.set("place", place_in_words(cut));
    row.set("length", panel_mm((cut.to.x - cut.from.x) + (cut.to.y - cut.from.y)) + " mm");
    row.set("crosses", std::to_string(cut.crossed));
    list.push_back(row);
  }
  return list;
}

// A number and its unit on one line.
std::string unbroken(const std::string& words) {
  const std::size_t gap = words.rfind(' ');
  return gap == std::string::npos ? words : words.substr(0, gap) + "\u00a0" + words.substr(gap + 1);
}

// "1: 3.2 g, 4: 0.25 g": what the sifter is loaded with at each step that lays something there.
std::string loads_of(const PlanRecord& record, std::size_t panel) {
  std::string words;
  for (std::size_t i = layers_done(record); i < record.layers.size(); ++i) {
    const LayerWeights& weights = record.weights.panels[panel][i];
    if (weights.lands.value() > 0)
      words += fmt::format("{}{}: {}", words.empty() ? "" : ", ", i + 1, unbroken(shown(weights.sift)));
  }
  return words.empty() ? "nothing" : words;
}

PageData panel_rows(const PlanRecord& record) {
  PageData list(PageData::type::list);
  for (std::size_t p = 0; p < record.panels.panels.size(); ++p) {
    const BoxMm box = in_mm(record.panels.panels[p].box, record.separation.grid.pitch);
    PageData row;
    row.set("number", std::to_string(p + 1));
    row.set("size", size_in_words(box));
    row.set("left", panel_mm(box.left));
    row.set("top", panel_mm(box.top));
    row.set("loads", loads_of(record, p));
    list.push_back(row);
  }
  return list;
}

std::size_t panel_stencils(const PlanRecord& record) {
  std::size_t count = 0;
  for (std::size_t p = 0; p < record.panels.panels.size(); ++p)
    for (std::size_t i = 0; i < record.layers.size(); ++i)
      count += opens_in(record, p, i) ? 1 : 0;
  return count;
}

}  // namespace

void add_panels(PageData& page, const PlanRecord& record) {
  const bool any = !record.panels.panels.empty();
  page.set("in_panels", any);
  if (!any)
    return;
  page.set("panel_count", panels_in_words(record.panels));
  page.set("kiln_loads",
           counted((record.firing_plan.firings.size() - record.firings_done) * record.panels.panels.size(),
                   "kiln load"));
  page.set("panel_stencil_count", std::to_string(panel_stencils(record)));
  if (record.shelf) {
    page.set("shelf_known", true);
    page.set("shelf", fmt::format("{} \u00d7 {} mm", panel_mm(record.shelf->size.width.value()),
                                  panel_mm(record.shelf->size.height.value())));
    page.set("shelf_margin", panel_mm(record.shelf->margin.value()) + " mm");
  }
  page.set("crossings", crossings_in_words(record.panels));
  page.set("panel_plan", panel_plan_element(record));
  page.set("panel_cuts", cut_rows(record));
  page.set("panels", panel_rows(record));
  page.set("glass_cut_reminder", glass_cut_reminder());
}

void add_panel_loads(PageData& step, const PlanRecord& record, std::size_t layer) {
  const bool any = !record.panels.panels.empty();
  step.set("in_panels", any);
  if (!any)
    return;
  PageData list(PageData::type::list);
  std::size_t listed = 0, with = 0;
  for (std::size_t p = 0; p < record.panels.panels.size(); ++p) {
    const LayerWeights& weights = record.weights.panels[p][layer];
    if (!(weights.lands.value() > 0))
      continue;
    ++with;
    if (listed == most_panels_listed)
      continue;
    PageData item;
    item.set("number", std::to_string(p + 1));
    item.set("load", shown(weights.sift));
    item.set("follows", listed > 0);
    list.push_back(item);
    ++listed;
  }
  step.set("panel_loads", list);
  const std::size_t count = record.panels.panels.size();
  step.set("panels_with",
           with == count ? fmt::format("all {} panels", count) : fmt::format("{} of {} panels", with, count));
  step.set("more_panels", with > listed);
}

}  // namespace powderplan
