#include "firing/firing_task.h"

#include <algorithm>
#include <cmath>

namespace powderplan {

FiringTask empty_task(std::size_t layers) {
  FiringTask task;
  task.layers = layers;
  for (auto* list : {&task.above, &task.fired_before, &task.never_with, &task.touches})
    list->assign(layers, 0);
  task.fixed.assign(layers, std::nullopt);
  task.softening.assign(layers, 0);
  task.most_loose_load = full_load;
  return task;
}

Load heaviest(const FiringTask& task, LayerSet set) {
  Load most;
  for (const std::vector<Load>& spot : task.heavy_spots) {
    Load sum;
    for_each_layer(set, [&](std::size_t layer) { sum += spot[layer]; });
    most = std::max(most, sum);
  }
  return most;
}

bool may_share(const FiringTask& task, LayerSet set) {
  bool fits = true;
  std::optional<int> firing;
  for_each_layer(set, [&](std::size_t layer) {
    fits = fits && ((task.never_with[layer] | task.fired_before[layer]) & set) == 0;
    if (!task.fixed[layer])
      return;
    fits = fits && firing.value_or(*task.fixed[layer]) == *task.fixed[layer];
    firing = task.fixed[layer];
  });
  return fits && heaviest(task, set) <= task.most_loose_load + load_tolerance;
}

std::vector<LayerSet> needed_before(const FiringTask& task) {
  std::vector<LayerSet> needed;
  for (std::size_t layer = 0; layer < task.layers; ++layer)
    needed.push_back(task.above[layer] | task.fired_before[layer]);
  for (bool more = true; more;) {
    more = false;
    for (LayerSet& before : needed) {
      LayerSet all = before;
      for_each_layer(before, [&](std::size_t layer) { all |= needed[layer]; });
      more = more || all != before;
      before = all;
    }
  }
  return needed;
}

int least_firings(const FiringTask& task, bool raised_allowed) {
  if (task.layers == 0)
    return 0;
  const std::vector<LayerSet> needed = needed_before(task);
  // Firing of each layer at the earliest. Layers with less before them come first, so one pass does.
  std::vector<std::size_t> order;
  for (std::size_t layer = 0; layer < task.layers; ++layer)
    order.push_back(layer);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return size_of(needed[a]) < size_of(needed[b]); });
  std::vector<int> earliest(task.layers, 1);
  int least = 1;
  for (const std::size_t layer : order) {
    earliest[layer] = std::max(earliest[layer], task.fixed[layer].value_or(1));
    for_each_layer(needed[layer], [&](std::size_t before) {
      const LayerSet both = only(layer) | only(before);
      const bool apart = !may_share(task, both) || (!raised_allowed && holds(task.touches[layer], before));
      earliest[layer] = std::max(earliest[layer], earliest[before] + (apart ? 1 : 0));
    });
    least = std::max(least, earliest[layer]);
  }
  const double loads = heaviest(task, first_layers(task.layers)) / (task.most_loose_load + load_tolerance);
  return std::max(least, static_cast<int>(std::ceil(loads - 1e-9)));
}

}  // namespace powderplan
