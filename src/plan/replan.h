// The rest of a plan made anew, when the first firings are done and the piece is not quite what was planned.
#pragma once

#include <vector>

#include "plan/pipeline.h"
#include "plan/request.h"
#include "report/plan_record.h"
#include "separation/target.h"

namespace powderplan {

struct PieceAsItIs {
  std::size_t firings_done = 1;
  // By layer of the plan: what its load turned out to be worth, as a multiple. Those to come do not count.
  std::vector<double> strength;
  // What these leave unexplained of its colours (PieceComparison::left), over the whole piece on any grid;
  // empty: nothing.
  Image<LabPixel> left{};
};

// The settings that a plan was made with; picture and palettes stay empty. Throws Problem (input), its place
// `plan`, for a setting that is not known any more.
PlanRequest request_of(const PlanRecord& planned, const std::string& plan);

// What lies stays, with the loads that it turned out to have; the layers still to come get new openings,
// loads and fades for the same target (separation/separate_on.h), new templates, and firings of their own
// after those that are done, as many as were still planned or fewer. Nests stay. The whole piece is in the
// result. Throws Problem (infeasible) when nothing is left to plan, when lines are still to be drawn or
// scratched, or when the plan is itself one of the rest after later firings.
PlanRecord replan(const PlanRequest& request, const PlanRecord& planned, const PieceAsItIs& piece,
                  const Progress& progress = {});

}  // namespace powderplan
