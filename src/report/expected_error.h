// How far off the predicted colours of a plan are expected to be, from how well its powders are known.
#pragma once

#include "report/plan_record.h"

namespace powderplan {

// CIEDE2000 at points of a coarser grid over the finished piece, in the plan's view. Each powder's
// coefficients are changed together (k up by a factor, s down by the same) by as much as changes its own
// swatch, over white and over black, by its expected error in the mean; what that changes at a point is the
// powder's share, and the shares of all powders add up as squares, because they were measured one by one.
Image<float> expected_errors(const PlanRecord& record, const Grid& coarse);

// Fills in the means of layers, regions and the whole (fidelity.expected_de00). Regions that no point of the
// coarse grid meets get their layer's.
void expect_errors(PlanRecord& record);

}  // namespace powderplan
