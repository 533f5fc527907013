// worksheet.html: the plan as pages for the bench.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "report/plan_record.h"
#include "report/worksheet_pictures.h"

namespace powderplan {

// One HTML page with everything in it: nothing loaded from anywhere, pictures inside. Prints on A4 and
// Letter, one step a sheet, in the order of the bench, and is complete without its script. With it the page
// turns step by step, shows the piece as it grows, tells what lies at a point, and keeps notes under
// `plan_sha256`, the fingerprint of plan.json. Weights are rounded to the scale here only. Names from
// palettes and titles are escaped and stay text.
std::string worksheet(const PlanRecord& record, const WorksheetPictures& drawn,
                      const std::string& plan_sha256);
// Draws its pictures itself.
std::string worksheet(const PlanRecord& record, const std::string& plan_sha256);

// The parts of the bench page's script, in the order in which they run; each is a page of its own in
// report/pages.h.
inline constexpr std::array<std::string_view, 6> bench_scripts{"bench_words.js",   "bench_points.js",
                                                               "bench_picture.js", "bench_notes.js",
                                                               "bench_turning.js", "bench_scheme.js"};

// The largest pieces of a layer that are listed; all of them are in grams.csv.
inline constexpr std::size_t most_regions_listed = 12;

// Panels whose loads stand on a step's page; all of them are listed with the panels.
inline constexpr std::size_t most_panels_listed = 24;

// Places of a small template that are listed; all of them are in plan.json.
inline constexpr std::size_t most_places_listed = 60;

}  // namespace powderplan
