#include "firing/firing_words.h"

#include <fmt/format.h>

#include <cctype>
#include <optional>

namespace powderplan {
namespace {

class Words {
 public:
  Words(const FiringPlan& plan, std::span<const Layer> layers, const FiringTask& task)
      : plan_(plan), layers_(layers), task_(task), step_(layers.size()) {
    std::size_t step = 0;
    for (const Firing& firing : plan.firings) {
      for (const std::size_t layer : firing.layers)
        step_[layer] = ++step;
    }
  }

  // What keeps a layer out of the firing before its own; nothing where it could be there as well.
  [[nodiscard]] std::optional<std::string> kept_out(std::size_t firing, std::size_t layer) const {
    const LayerSet before = set_of(plan_.firings[firing - 1].layers);
    if (task_.fixed[layer])
      return fmt::format("You asked for firing {}.", *task_.fixed[layer]);
    if (const auto hotter = last_of(task_.fired_before[layer] & before))
      return fmt::format(
          "Step {} is fired hotter than the texture of this layer bears, so that is fired first.",
          step_[*hotter]);
    if (const auto pair = last_of(task_.never_with[layer] & before))
      return fmt::format("It reacts with step {} and must not lie loose with it, so that is fired first.",
                         step_[*pair]);
    if (const auto loose = last_of(task_.touches[layer] & before))
      return fmt::format("Its stencil would rest on the loose powder of step {}, so that is fired first.",
                         step_[*loose]);
    if (heaviest(task_, before | only(layer)) > task_.most_loose_load + load_tolerance)
      return fmt::format(
          "With it more than {:.2f} g/cm2 would lie loose in one place, so what lies is fired first.",
          task_.most_loose_load.value());
    if (const auto below = last_of(task_.above[layer] & set_of(plan_.firings[firing].layers)))
      return fmt::format("It lies on step {}, which is in this firing.", step_[*below]);
    // It touches nothing there, but would lie under the stencils that follow.
    for (const std::size_t other : plan_.firings[firing - 1].layers) {
      if (holds(task_.touches[other], layer) || (holds(task_.above[layer], other)))
        return fmt::format(
            "In the firing before, the stencil of step {} would rest on its loose powder, or it on that.",
            step_[other]);
    }
    return std::nullopt;
  }

  [[nodiscard]] std::string of(std::size_t firing, std::size_t at) const {
    const std::vector<std::size_t>& order = plan_.firings[firing].layers;
    const std::size_t layer = order[at];
    if (plan_.places[layer].raised) {
      LayerSet loose = 0;
      for (std::size_t i = 0; i < at; ++i)
        loose |= only(order[i]);
      return fmt::format(
          "Its stencil would rest on the loose powder of step {}, so it stands on spacers; its edges come "
          "out about {:.0f} mm softer than shown.",
          step_[*last_of(task_.touches[layer] & loose)], raised_softening.value());
    }
    if (at > 0) {
      if (layers_[layer].technique == Technique::line)
        return "Lines need no stencil that would rest on loose powder, so they follow in the same firing.";
      if (layers_[layer].open.empty())
        return "It needs no stencil that would rest on loose powder, so it follows in the same firing.";
      return "All loose powder laid so far lies inside its opening, so it can follow in the same firing.";
    }
    if (firing == 0)
      return task_.fixed[layer] ? fmt::format("You asked for firing {}.", *task_.fixed[layer])
                                : "It lies at the bottom, so it goes first.";
    return kept_out(firing, layer).value_or("It comes before what lies on it.");
  }

  [[nodiscard]] std::string of_firing(std::size_t firing) const {
    if (firing == 0)
      return plan_.firings.size() == 1 ? "Everything can be laid in one go."
                                       : "What lies lowest comes first.";
    const LayerSet here = set_of(plan_.firings[firing].layers);
    for (const std::size_t layer : plan_.firings[firing].layers) {
      // What lies on another of this firing only follows that.
      if (const auto why = kept_out(firing, layer); why && (task_.above[layer] & here) == 0)
        return fmt::format("Needed by step {}: {}", step_[layer], lower(*why));
    }
    return "Without it an earlier firing would carry what must not lie loose together.";
  }

 private:
  static LayerSet set_of(const std::vector<std::size_t>& layers) {
    LayerSet set = 0;
    for (const std::size_t layer : layers)
      set |= only(layer);
    return set;
  }
  static std::string lower(std::string text) {
    text.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(text.front())));
    return text;
  }
  // The one that is put down last.
  [[nodiscard]] std::optional<std::size_t> last_of(LayerSet set) const {
    std::optional<std::size_t> last;
    for_each_layer(set, [&](std::size_t layer) {
      if (!last || step_[layer] > step_[*last])
        last = layer;
    });
    return last;
  }

  const FiringPlan& plan_;
  std::span<const Layer> layers_;
  const FiringTask& task_;
  std::vector<std::size_t> step_;  // on the bench, by layer
};

}  // namespace

void say_why(FiringPlan& plan, std::span<const Layer> layers, const FiringTask& task) {
  const Words words(plan, layers, task);
  for (std::size_t firing = 0; firing < plan.firings.size(); ++firing) {
    plan.firings[firing].why = words.of_firing(firing);
    for (std::size_t at = 0; at < plan.firings[firing].layers.size(); ++at)
      plan.places[plan.firings[firing].layers[at]].why = words.of(firing, at);
  }
}

}  // namespace powderplan
