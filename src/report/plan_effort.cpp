#include "report/plan_effort.h"

namespace powderplan {

PlanEffort effort_of(const PlanRecord& record) {
  PlanEffort effort;
  effort.raised = raised_stencils(record.firing_plan);
  effort.bridges = static_cast<std::size_t>(record.bridges);
  for (const Layer& layer : record.layers) {
    if (layer.stencil) {
      ++effort.stencils;
      effort.small_templates += layer.stencil->repeats.size();
      effort.cut += layer.stencil->effort.cut;
      effort.cut_minutes += layer.stencil->effort.minutes;
      effort.bridge_error_cm2 += layer.stencil->error_cm2;
      effort.shortest_bridge_error_cm2 += layer.stencil->shortest_error_cm2;
    }
    if (layer.technique == Technique::fade) {
      ++effort.fades;
      effort.free_fades += layer.open.empty() ? 1 : 0;
    }
    for (const auto* drawn : {&layer.lines, &layer.scratched}) {
      if (!*drawn)
        continue;
      effort.lines += (*drawn)->paths.size();
      effort.line_length += Millimetres((*drawn)->length_mm);
    }
  }
  return effort;
}

}  // namespace powderplan
