// What a plan asks of the hands, counted.
#pragma once

#include <cstddef>

#include "report/plan_record.h"

namespace powderplan {

struct PlanEffort {
  std::size_t stencils = 0, raised = 0, bridges = 0;
  std::size_t small_templates = 0;        // of shapes that come again
  Millimetres cut;                        // length of all openings' edges
  double cut_minutes = 0;                 // with a knife
  double bridge_error_cm2 = 0;            // what bridges cost the picture: CIEDE2000 times area
  double shortest_bridge_error_cm2 = 0;   // what the shortest ones would have cost
  std::size_t fades = 0, free_fades = 0;  // layers graded by hand; of them without a template
  std::size_t lines = 0;                  // drawn or scratched by hand
  Millimetres line_length;
};

PlanEffort effort_of(const PlanRecord& record);

}  // namespace powderplan
