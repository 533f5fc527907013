// The files of a piece's panels: cut files and templates of each, and their grams.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "report/plan_record.h"
#include "report/template_pages.h"

namespace powderplan {

// The stencil of a layer for one panel. The layer has a stencil.
Stencil stencil_for_panel(const PlanRecord& record, std::size_t panel, std::size_t layer);
// Whether that has an opening.
bool opens_in(const PlanRecord& record, std::size_t panel, std::size_t layer);
// "panels/panel-3/stencils/01-kelp", without its end.
std::string panel_stencil_file(const PlanRecord& record, std::size_t panel, std::size_t layer);

// The lines that a layer draws, or that are scratched after it, of a panel; no paths where there are none.
LinePlan lines_for_panel(const PlanRecord& record, std::size_t panel, const LinePlan& lines);
// "panels/panel-3/stencils/05-kelp-lines.svg" for the whole piece's "stencils/05-kelp-lines.svg".
std::string in_panel_folder(std::size_t panel, const std::string& file);

// Pages of panels/panel-3/templates.pdf, in bench order: those that have an opening.
std::vector<StencilTemplate> panel_templates(const PlanRecord& record, std::size_t panel);

// panels/grams.csv (RFC 4180, without a byte order mark): columns kind, panel, left_mm, top_mm, width_mm,
// height_mm, firing, layer, powder, name, lands_g, sift_g, overspill_g. A row of kind "layer" for every panel
// and layer, then one of kind "powder" for every panel and powder. Six digits, as in grams.csv. What lands
// adds up to the layer's own.
std::string panel_grams_csv(const PlanRecord& record);

}  // namespace powderplan
