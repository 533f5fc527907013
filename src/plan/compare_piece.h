// A fired piece laid on its plan: where it differs, and which powder would explain it by being heavier or
// lighter than planned.
#pragma once

#include <cstdint>

#include "colour/tristimulus.h"
#include "raster/image.h"
#include "report/piece_comparison.h"
#include "report/plan_record.h"

namespace powderplan {

// What the piece looks like, on a grid over the whole of it.
struct SeenPiece {
  Grid grid;
  Image<Xyz> colour;              // adapted to D65
  Image<std::uint8_t> untrusted;  // 1: clipped, or not in the photo
};

// The plan is taken as it is after `firings_done` firings, on the wall. Small errors of placing (a few mm)
// are taken out first, by laying the photo's lightness on the plan's (an affine map that makes their
// correlation largest: Evangelidis and Psarakis 2008, enhanced correlation coefficient). Strengths come from
// least squares with weights that fall for what fits nowhere (Huber 1964), over all even places; the overall
// exposure of the photo is fitted too, within `exposure_sigma`. A powder that is hidden keeps 1 and a large
// off_by.
PieceComparison compare_piece(const PlanRecord& record, std::size_t firings_done, const SeenPiece& seen);

// How far a photo's lightness is off as a whole, as a share: what the white reference leaves.
inline constexpr double exposure_sigma = 0.02;
// Distance of the points that are compared.
Millimetres comparison_pitch(const PlanRecord& record);

}  // namespace powderplan
