#include "report/plan_glance.h"

#include "report/preview.h"

namespace powderplan {

PlanGlance glance_at(const PlanRecord& record) {
  PlanGlance glance;
  glance.title = record.title;
  glance.width = record.width;
  glance.height = record.height;
  glance.pitch = record.separation.grid.pitch;
  glance.base = sheet_of(record);
  glance.view = record.view;
  glance.layers = record.layers.size();
  glance.powders = record.weights.totals.size();
  glance.firings = record.firing_plan.firings.size();
  if (!record.firing_plan.firings.empty())
    glance.finish = record.firing_plan.firings.back().finish;
  glance.effort = effort_of(record);
  glance.fidelity = record.fidelity;
  for (const PowderTotal& total : record.weights.totals) {
    glance.lands += total.lands;
    if (total.short_of > Grams(0))
      glance.short_of.emplace_back(record.palette.powders[total.powder].name, total.short_of);
  }
  glance.finished = fired_preview(record, record.view);
  glance.target = target_picture(record);
  return glance;
}

}  // namespace powderplan
