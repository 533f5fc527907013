// worksheet.html: the plan as pages for the bench.
#pragma once

#include <string>

#include "report/plan_record.h"
#include "report/worksheet_pictures.h"

namespace powderplan {

// One HTML page with everything in it: no script, nothing loaded from anywhere, pictures inside. Prints on A4
// and Letter, one step a sheet, in the order of the bench. Weights are rounded to the scale here only. Names
// from palettes and titles are escaped and stay text.
std::string worksheet(const PlanRecord& record, const DrawnPictures& drawn);
// Draws its pictures itself.
std::string worksheet(const PlanRecord& record);

// The largest pieces of a layer that are listed; all of them are in grams.csv.
inline constexpr std::size_t most_regions_listed = 12;

// Places of a small template that are listed; all of them are in plan.json.
inline constexpr std::size_t most_places_listed = 60;

}  // namespace powderplan
