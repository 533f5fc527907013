// A fired piece laid on its plan: where it differs, and which powder would explain it by being heavier or
// lighter than planned.
#pragma once

#include "fired/seen_piece.h"
#include "fired/strength_fit.h"
#include "report/piece_comparison.h"
#include "report/plan_record.h"

namespace powderplan {

// The plan is taken as it is after `firings_done` firings (at least 1), from the front, lying on what the
// piece lies on. Small errors of placing are taken out first (align_piece.h); strengths come from points
// where the plan is even (strength_fit.h), so that what is left of them changes nothing. A powder that is
// hidden keeps 1 and a large off_by.
PieceComparison compare_piece(const PlanRecord& record, std::size_t firings_done, const SeenPiece& seen,
                              const Weighed& weighed = {});

// Distance of the points that are compared.
Millimetres comparison_pitch(const PlanRecord& record);

}  // namespace powderplan
