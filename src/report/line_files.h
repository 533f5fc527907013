// The lines of a layer as a drawing to trace or to give to a machine, and as numbers for plan.json.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "report/plan_record.h"

namespace powderplan {

// SVG (W3C, 1.1) at true size: one unit is 1 mm, the origin the top left corner of the piece. A group
// "piece" with its edge, then a group "lines" with a group for each line in the order of drawing, whose
// title is its number, and in it the middle line, in the direction of drawing, as wide as it is laid. A line
// that swells is parted into pieces whose width is right to width_step. `title` is plain text of letters,
// digits, spaces and . , - only.
std::string lines_svg(const LinePlan& lines, Millimetres width, Millimetres height, const std::string& title);
inline constexpr Millimetres width_step{0.1};

struct LineWidths {
  double least_mm = 0, most_mm = 0;
};
LineWidths widths_of(const LinePlan& lines);

// Where a layer's drawing lies in the plan folder; a layer may have both.
std::string lines_file(const PlanRecord& record, std::size_t layer);
std::string scratched_file(const PlanRecord& record, std::size_t layer);

// {paths, length_mm, travel_mm, widths_mm: [least, most], file}; null when there are no lines.
nlohmann::ordered_json lines_json(const std::optional<LinePlan>& lines, const std::string& file);

}  // namespace powderplan
