#include "firing/firing.h"

#include <algorithm>

#include "firing/firing_relief.h"
#include "firing/firing_rules.h"
#include "firing/firing_words.h"
#include "firing/piece_thickness.h"
#include "firing/starting_schedule.h"

namespace powderplan {
namespace {

// The hottest that layers put down in this firing or before may still get.
Finish coolest_wish(std::span<const Layer> layers, const FoundFiring& firing, const FiringLimits& limits) {
  Finish finish = Finish::full;
  for (const std::size_t layer : firing.layers)
    finish = std::min(finish, finish_wished(limits, layers[layer].powder));
  return finish;
}

void make_schedule(Firing& firing, Millimetres thickness, const GlassConstants& glass, Millimetres grain) {
  firing.thickness = thickness;
  firing.segments = starting_schedule(glass, thickness, firing.finish, grain);
  firing.flow = flow_of(firing.segments, ViscosityCurve(glass));
  const FinishValues values = fired_values(firing.flow, grain, glass.density);
  firing.sintering = values.fused;
  firing.texture = values.matte;
}

}  // namespace

Finish finish_wished(const FiringLimits& limits, std::size_t powder) {
  for (const FinishWish& wish : limits.other) {
    if (wish.powder == powder)
      return wish.finish;
  }
  return limits.finish;
}

FiringPlan plan_firings(std::span<const Layer> layers, const Sheet& sheet, const Palette& palette,
                        const FiringLimits& limits, std::span<const double> softening) {
  FiringPlan plan;
  if (layers.empty())
    return plan;
  const FiringTask task = firing_task(layers, limits, softening);
  const std::optional<FiringAnswer> answer = answer_within(task, limits);
  if (!answer) {
    std::vector<std::string> names;
    for (const Layer& layer : layers)
      names.push_back(layer.powder < palette.powders.size() ? palette.powders[layer.powder].id : "");
    refuse(task, limits, names);
  }
  plan.proven = answer->proven;
  plan.least_firings = answer->least;
  plan.places.resize(layers.size());
  // What each firing's own layers are to become; the firings before the last of them only hold the powder.
  std::vector<Finish> wished;
  for (const FoundFiring& found : answer->firings)
    wished.push_back(coolest_wish(layers, found, limits));
  for (std::size_t k = 0; k < answer->firings.size(); ++k) {
    const FoundFiring& found = answer->firings[k];
    Firing firing;
    const bool last_of_its_heat = k + 1 == wished.size() || wished[k + 1] < wished[k];
    firing.finish = last_of_its_heat ? wished[k] : std::min(limits.between, wished[k]);
    make_schedule(firing, sheet.thickness, palette.glass, limits.reference_grain);
    firing.layers = found.layers;
    for (std::size_t i = 0; i < found.layers.size(); ++i) {
      plan.places[found.layers[i]].firing = k;
      plan.places[found.layers[i]].raised = found.raised[i];
    }
    plan.firings.push_back(std::move(firing));
  }
  say_why(plan, layers, task);
  return plan;
}

void allow_for_powder(FiringPlan& plan, std::span<const Layer> layers, const KilnLimits& kiln,
                      const Grid& grid, std::size_t first) {
  const GlassConstants& glass = kiln.palette.glass;
  const std::vector<Millimetres> thickness =
      thickness_after_firings(layers, plan.places, plan.firings.size(), grid, kiln.sheet, glass.density);
  for (std::size_t k = first; k < plan.firings.size(); ++k)
    make_schedule(plan.firings[k], thickness[k], glass, kiln.firing.reference_grain);
}

std::vector<bool> raised_layers(const FiringPlan& plan) {
  std::vector<bool> raised;
  for (const LayerPlace& place : plan.places)
    raised.push_back(place.raised);
  return raised;
}

std::size_t raised_stencils(const FiringPlan& plan) {
  return static_cast<std::size_t>(
      std::count_if(plan.places.begin(), plan.places.end(), [](const LayerPlace& p) { return p.raised; }));
}

void put_in_bench_order(std::vector<Layer>& layers, FiringPlan& plan) {
  std::vector<Layer> ordered;
  std::vector<LayerPlace> places;
  for (Firing& firing : plan.firings) {
    for (std::size_t& layer : firing.layers) {
      places.push_back(std::move(plan.places[layer]));
      ordered.push_back(std::move(layers[layer]));
      layer = ordered.size() - 1;
    }
  }
  layers = std::move(ordered);
  plan.places = std::move(places);
}

std::vector<std::vector<std::size_t>> loose_below_flat_templates(const FiringPlan& plan) {
  std::vector<std::vector<std::size_t>> below(plan.places.size());
  for (const Firing& firing : plan.firings) {
    for (auto layer = firing.layers.begin(); layer != firing.layers.end(); ++layer) {
      if (!plan.places[*layer].raised)
        below[*layer].assign(firing.layers.begin(), layer);
    }
  }
  return below;
}

}  // namespace powderplan
