// worksheet.pdf: the plan on paper, for the wall over the bench.
#pragma once

#include <cstdint>
#include <vector>

#include "report/plan_record.h"
#include "report/worksheet_pictures.h"

namespace powderplan {

// On the plan's paper, upright: the piece, what to know and cut before the first day, one page a step in
// bench order and one a firing, then the regions of each layer. Black on white and the mark's colour, letters
// large; nothing is broken over two pages but lists and tables between their rows: where much is to be said
// letters get smaller, and pictures take the room that is left. Sentences that worksheet.html says too
// come from the same parts (pages/cover_under.html and the like). Names and titles of more than
// `longest_name` letters are cut, with an ellipsis. The same plan gives the same bytes.
std::vector<std::uint8_t> worksheet_pdf(const PlanRecord& record, const WorksheetPictures& drawn);

inline constexpr std::size_t longest_name = 160;

}  // namespace powderplan
