#include "report/stage.h"

#include <fmt/format.h>

#include <algorithm>

#include "colour/observer.h"
#include "parallel.h"
#include "problem.h"
#include "recipe/painter.h"
#include "report/point_looks.h"

namespace powderplan {
Moment moment_after(std::size_t firing) {
  return {firing + 1, {}};
}

Moment moment_before(const PlanRecord& record, std::size_t firing) {
  return {firing, record.firing_plan.firings[firing].layers};
}

Moment moment_finished(const PlanRecord& record) {
  return {record.firing_plan.firings.size(), {}};
}

PlanRecord light_copy(const PlanRecord& record) {
  PlanRecord light = light_copy_without_spots(record);
  light.spots = record.spots;
  return light;
}

PlanRecord light_copy_without_spots(const PlanRecord& record) {
  PlanRecord light;
  light.palette = record.palette;
  light.sheet = record.sheet;
  light.view = record.view;
  light.illuminant = record.illuminant;
  light.backing = record.backing;
  light.firing_plan = record.firing_plan;
  for (const Layer& layer : record.layers) {
    Layer small;
    small.powder = layer.powder;
    small.load = layer.load;
    light.layers.push_back(std::move(small));
  }
  return light;
}

const Powder& powder_of(const PlanRecord& record, const Layer& layer) {
  return record.palette.powders[layer.powder];
}

std::size_t layers_done(const PlanRecord& record) {
  std::size_t count = 0;
  for (std::size_t k = 0; k < record.firings_done; ++k)
    count += record.firing_plan.firings[k].layers.size();
  return count;
}

const Sheet& sheet_of(const PlanRecord& record) {
  return record.palette.sheets[record.sheet];
}

Millimetres flow_after(const PlanRecord& record, std::size_t layer, std::size_t firings_done) {
  const std::vector<Firing>& firings = record.firing_plan.firings;
  Millimetres flow;
  for (std::size_t k = record.firing_plan.places[layer].firing; k < std::min(firings_done, firings.size());
       ++k)
    flow += firings[k].flow;
  return flow;
}

FinishValues values_at(const PlanRecord& record, std::size_t layer, Millimetres flow) {
  return fired_values(flow, powder_of(record, record.layers[layer]).optics, record.palette.glass.density);
}

FinishValues values_after(const PlanRecord& record, std::size_t layer, std::size_t firings_done) {
  return values_at(record, layer, flow_after(record, layer, firings_done));
}

Ground ground_of(const PlanRecord& record, View view) {
  return ground_of(sheet_of(record), record.palette.glass.density, view, record.backing);
}

Spectrum light_of(const PlanRecord& record) {
  if (const auto light = illuminant_named(record.illuminant))
    return *light;
  throw Problem(ProblemKind::command_line, "--light", fmt::format("\"{}\" is no light", record.illuminant),
                "use D65, D50, A, or daylight by temperature as 6000K");
}

std::vector<LayerThen> layers_at(const PlanRecord& record, const Moment& moment) {
  std::vector<LayerThen> layers(record.layers.size());
  for (std::size_t i = 0; i < layers.size(); ++i) {
    const bool loose = std::find(moment.loose.begin(), moment.loose.end(), i) != moment.loose.end();
    layers[i].lies = loose || record.firing_plan.places[i].firing < moment.firings_done;
    layers[i].flow = loose ? Millimetres(0) : flow_after(record, i, moment.firings_done);
    layers[i].values = values_at(record, i, layers[i].flow);
  }
  return layers;
}

std::vector<Coat> coats_at(const PlanRecord& record, std::size_t spot, const Moment& moment) {
  return coats_at(record, spot, layers_at(record, moment));
}

std::vector<Coat> coats_at(const PlanRecord& record, std::size_t spot, const std::vector<LayerThen>& layers) {
  std::vector<Coat> coats;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    const Amount amount = record.spots.amount(spot, i);
    if (amount == 0 || !layers[i].lies)
      continue;
    const Load load = record.layers[i].load * (static_cast<double>(amount) / whole_amount);
    const std::size_t powder = record.layers[i].powder;
    if (!coats.empty() && coats.back().dose.powder == powder && coats.back().values == layers[i].values)
      coats.back().dose.load += load;
    else
      coats.push_back({{powder, load}, layers[i].flow, layers[i].values, i});
    coats.back().last_layer = i;
  }
  return coats;
}

std::vector<CoveringLayer> stack_at(const PlanRecord& record, std::size_t spot, const Moment& moment) {
  Coats made;
  return stack_at(record, spot, layers_at(record, moment), made);
}

std::vector<CoveringLayer> stack_at(const PlanRecord& record, std::size_t spot,
                                    const std::vector<LayerThen>& layers, Coats& made) {
  std::vector<CoveringLayer> stack;
  for (const Coat& coat : coats_at(record, spot, layers))
    stack.push_back(made.of(coat.dose, coat.flow, [&] {
      return covering_layer(record.palette.powders[coat.dose.powder].optics, coat.dose.load, coat.values,
                            record.palette.glass.density);
    }));
  return stack;
}

Image<PackedLab> finished_colours(const PlanRecord& record) {
  Image<PackedLab> out(record.separation.grid.width, record.separation.grid.height);
  looks_by_rows(record, moment_finished(record), record.view, out);
  return out;
}

std::vector<Rgb8> spot_colours(const PlanRecord& record, const Moment& moment, View view) {
  const Observer observer(light_of(record));
  const Stack bare(ground_of(record, view));
  const std::vector<LayerThen> layers = layers_at(record, moment);
  std::vector<Rgb8> colours(record.spots.count());
  // Spots are numbered as they are met: neighbours carry much the same coats.
  constexpr std::size_t block = 1024;
  for_each_block((colours.size() + block - 1) / block, [&](std::size_t b) {
    Coats made;
    for (std::size_t spot = b * block; spot < std::min(colours.size(), (b + 1) * block); ++spot)
      colours[spot] = to_rgb8(to_linear_rgb(observer(seen(bare, stack_at(record, spot, layers, made)))));
  });
  return colours;
}

}  // namespace powderplan
