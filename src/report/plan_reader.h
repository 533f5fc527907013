// A plan folder read back: as much of the plan as comparing and replanning need.
#pragma once

#include <filesystem>

#include "report/plan_record.h"

namespace powderplan {

// The palette must hold the plan's powders and sheet; their optics are taken from it. Filled in are: title,
// sizes, palette, sheet, view, light, backing, smallest width, inputs, settings, separation, layers with
// powder, nest, step, technique, load, amounts, areas and regions, spots, firings with finish, schedule, flow
// and layers, how many of them are done, the fitted target and where it is bare, the fidelity,
// the number of bridges, the panels that the piece is cut into. A layer after which
// something is scratched has an empty plan of those lines. Not filled in: what is only said or drawn
// (stencils, lines, trials, meetings, weights), and what the settings say again. Throws Problem
// (input), its place the file, when the folder is no whole plan of this schema or does not fit the palette.
PlanRecord read_plan(const std::filesystem::path& folder, const Palette& palette);

}  // namespace powderplan
