// The page of worksheet.pdf that says what the piece is cut into.
#include <memory>

#include "report/cautions.h"
#include "report/panel_drawing.h"
#include "report/wall_flow.h"

namespace powderplan {
namespace {

TableCell cell(const PageData& row, const char* key, Weight weight = Weight::normal) {
  return {.words = marked(text_of(row, key)), .weight = weight};
}

PageTable cuts_table(const PageData& data, double size) {
  PageTable table(
      {{.heading = "Cut", .share = 0}, {"goes"}, {"at"}, {"for", true}, {"colours crossed", true}}, size);
  for (const PageData& row : list_of(data, "panel_cuts"))
    table.add({cell(row, "number", Weight::bold), cell(row, "way"), cell(row, "place"), cell(row, "length"),
               cell(row, "crosses")});
  return table;
}

PageTable panels_table(const PageData& data, double size) {
  PageTable table({{.heading = "Panel", .share = 0},
                   {.heading = "width \u00d7 height", .share = 0},
                   {"from the left", true},
                   {"from the top", true},
                   {"step: load"}},
                  size);
  for (const PageData& row : list_of(data, "panels"))
    table.add({cell(row, "number", Weight::bold), cell(row, "size"), cell(row, "left"), cell(row, "top"),
               cell(row, "loads")});
  return table;
}

}  // namespace

void add_panels(std::vector<WallPage>& pages, const WallPlan& plan) {
  if (!holds(plan.data, "in_panels"))
    return;
  WallPage page;
  page.bookmark = page.where = "Panels";
  page.cautions = {glass_cut_reminder(), dust_reminder()};
  constexpr double highest_plan = 82;
  add_flow(pages, plan, page, 0.8, [&](WallFlow& into, double scale) {
    const double size = 4.4 * plan.unit * scale, width = into.width(), highest = highest_plan * plan.unit;
    into.heading(marked("Panels"), 1.7 * size);
    PageColumn how;
    how.add(part_paragraphs("panels_how.html", plan.data), size);
    into.column(how);
    into.block({.above = 0.6 * size,
                .height = panel_plan_height(plan.record, width, highest, 0.8 * size),
                .draw = [&plan, width, highest, size](PointMm top) {
                  draw_panel_plan(plan.pdf, plan.record, top, width, highest, 0.8 * size);
                }});
    into.words(marked("Sizes in mm. Black discs: the cuts in their order."), 0.76 * size);
    into.heading(marked("Cuts"), 1.25 * size);
    auto cuts = std::make_shared<PageTable>(cuts_table(plan.data, 0.9 * size));
    cuts->measure(plan.pdf, width);
    into.table(cuts);
    into.heading(marked("Sizes, and what the sifter is loaded with"), 1.25 * size);
    auto panels = std::make_shared<PageTable>(panels_table(plan.data, 0.9 * size));
    panels->measure(plan.pdf, width);
    into.table(panels);
    PageColumn joins;
    joins.add(part_paragraphs("panels_joins.html", plan.data), size);
    into.column(joins);
    return cuts->has_room() && panels->has_room();
  });
}

}  // namespace powderplan
