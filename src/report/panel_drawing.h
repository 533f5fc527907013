// Where a piece is cut into panels, drawn: over a picture of it, and as a plain plan with sizes.
#pragma once

#include <string>

#include "report/pdf_document.h"
#include "report/piece_drawing.h"
#include "report/plan_record.h"

namespace powderplan {

// What is told of the panels over a picture: each one's number and size in its middle, or, where the picture
// has more to show, no more than its number in a corner.
enum class PanelNames { with_sizes, in_corners };

// For within an SVG whose unit is a millimetre of the piece: the cuts, dashed, and names, readable on any
// ground.
std::string panel_lines_element(const PlanRecord& record, PanelNames names);
// An SVG element for within a page: every panel's outline, number and size, where the cuts are, and each
// cut's own number in the order of cutting.
std::string panel_plan_element(const PlanRecord& record);

// The same on paper.
void draw_panel_lines(PdfDocument& pdf, const PlanRecord& record, PanelNames names, double size,
                      const PiecePlace& place);
// As wide as `width`, or lower than `most_height`; returns its bottom. `size`: of letters, mm.
double draw_panel_plan(PdfDocument& pdf, const PlanRecord& record, PointMm top, double width,
                       double most_height, double size);
double panel_plan_height(const PlanRecord& record, double width, double most_height, double size);

}  // namespace powderplan
