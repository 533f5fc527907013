#include "report/worksheet_pdf.h"

#include <algorithm>
#include <optional>
#include <tuple>

#include "report/wall_pages.h"
#include "utf8.h"

namespace powderplan {
namespace {

bool is_long(const std::string& name) {
  return name.size() > longest_name;
}

std::string cut(const std::string& name) {
  return shortened(plain_text(name), [](const std::string& text) {
    return std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xc0) != 0x80; }) <=
           static_cast<std::ptrdiff_t>(longest_name);
  });
}

// With names that a page can hold; nothing where all are so already.
std::optional<PlanRecord> with_short_names(const PlanRecord& record) {
  const auto long_name = [](const auto& glass) { return is_long(glass.name) || is_long(glass.id); };
  const auto& [powders, sheets] = std::tie(record.palette.powders, record.palette.sheets);
  if (!is_long(record.title) && !is_long(record.palette.family) &&
      std::none_of(powders.begin(), powders.end(), long_name) &&
      std::none_of(sheets.begin(), sheets.end(), long_name))
    return std::nullopt;
  PlanRecord named = record;
  named.title = cut(named.title);
  named.palette.family = cut(named.palette.family);
  for (Powder& powder : named.palette.powders)
    powder.name = cut(powder.name);
  for (Sheet& sheet : named.palette.sheets)
    sheet.name = cut(sheet.name);
  return named;
}

// The pictures are drawn from what was passed, and so the parts have none.
PagePictures no_pictures(const PlanRecord& record) {
  PagePictures none;
  none.steps.resize(record.layers.size());
  none.laid.resize(record.layers.size());
  none.fired.resize(record.firing_plan.firings.size());
  return none;
}

PageData data_of(const PlanRecord& record) {
  const PagePictures none = no_pictures(record);
  PageData data;
  add_plan(data, record, none);
  return data;
}

void add_bench_pages(std::vector<WallPage>& pages, const WallPlan& plan) {
  std::size_t firing = plan.record.firings_done;
  for (const PageData& round : list_of(plan.data, "bench")) {
    const std::vector<std::size_t>& layers = plan.record.firing_plan.firings[firing].layers;
    const std::vector<PageData>& steps = list_of(round, "steps");
    for (std::size_t i = 0; i < layers.size(); ++i)
      add_step(pages, plan, firing, layers[i], steps[i]);
    add_firing(pages, plan, firing, part_of(round, "firing"));
    ++firing;
  }
}

}  // namespace

std::vector<std::uint8_t> worksheet_pdf(const PlanRecord& record, const WorksheetPictures& drawn) {
  const std::optional<PlanRecord> renamed = with_short_names(record);
  const PlanRecord& shown = renamed ? *renamed : record;
  const PageData data = data_of(shown);
  PdfDocument pdf("Worksheet: " + shown.title);
  const double unit = std::min(shown.paper.width.value() / paper_a4.width.value(),
                               shown.paper.height.value() / paper_letter.height.value());
  const WallPlan plan{shown, drawn, data, pdf, unit};
  std::vector<WallPage> pages;
  add_opening(pages, plan);
  add_before(pages, plan);
  add_panels(pages, plan);
  add_reactions(pages, plan);
  add_cutting(pages, plan);
  add_bench_pages(pages, plan);
  add_regions(pages, plan);
  for (std::size_t i = 0; i < pages.size(); ++i)
    draw_page(plan, pages[i], i + 1, pages.size());
  return pdf.bytes();
}

}  // namespace powderplan
