#include "plan/plan_stencils.h"

#include <span>

#include "firing/firing.h"
#include "layers/bridge_layers.h"
#include "problem.h"

namespace powderplan {

void hold_together(std::vector<Layer>& layers, const KilnLimits& kiln, const Painter& painter,
                   const Target& target, const StencilRules& stencil_rules, std::size_t most_layers,
                   const std::vector<Layer>& laid, bool to_be_cut) {
  FiringPlan without = plan_firings(layers, kiln);
  // What is put down first comes first, so that bridges can close what lies loose below them.
  put_in_bench_order(layers, without);
  BridgingRules rules;
  rules.stencil = stencil_rules;
  rules.to_be_cut = to_be_cut;
  rules.most_layers = most_layers + laid.size();
  rules.loose_below = loose_below_flat_templates(without);
  for (std::vector<std::size_t>& loose : rules.loose_below) {
    for (std::size_t& layer : loose)
      layer += laid.size();
  }
  rules.loose_below.insert(rules.loose_below.begin(), laid.size(), {});
  rules.may_be_split = [&](const std::vector<Layer>& split) {
    try {
      const FiringPlan plan = plan_firings(std::span(split).subspan(laid.size()), kiln);
      return plan.firings.size() <= without.firings.size() &&
             raised_stencils(plan) <= raised_stencils(without);
    } catch (const Problem&) {
      return false;  // within the limits there is no such plan
    }
  };
  layers.insert(layers.begin(), laid.begin(), laid.end());
  bridge_layers(layers, painter, target, rules);
  layers.erase(layers.begin(), layers.begin() + static_cast<std::ptrdiff_t>(laid.size()));
}

void set_up_stencils(PlanRecord& record, RepeatUse repeats) {
  record.bridges = 0;
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    Layer& layer = record.layers[i];
    if (!layer.stencil)
      continue;
    set_up_cutting(*layer.stencil, {.load = layer.load,
                                    .narrowest = record.smallest,
                                    .raised = record.firing_plan.places[i].raised,
                                    .even_coat = layer.technique == Technique::stencil,
                                    .repeats = repeats});
    record.bridges += static_cast<int>(layer.stencil->effort.bridges);
  }
}

}  // namespace powderplan
