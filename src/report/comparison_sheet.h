// The comparison of a fired piece with its plan, on one sheet.
#pragma once

#include "report/piece_comparison.h"
#include "report/plan_record.h"

namespace powderplan {

// Plan, photo and difference side by side, each powder's factor with its doubt, and the regions that are off
// most, numbered in the difference.
Image<Rgb8> comparison_sheet(const PlanRecord& record, const PieceComparison& comparison);
inline constexpr Millimetres comparison_sheet_pitch{0.15};

// The difference alone, one point a pixel, in the colours of report/difference_map.h; mid grey where the
// photo cannot be trusted.
Image<Rgb8> difference_picture(const PieceComparison& comparison);

}  // namespace powderplan
