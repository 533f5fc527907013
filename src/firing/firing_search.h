// The fewest firings for the layers of a task, and how each is put down.
#pragma once

#include <optional>
#include <vector>

#include "firing/firing_task.h"

namespace powderplan {

// What comes first when a plan is chosen; the rest follows. Softening is what raised templates cost.
enum class Prefer {
  few_firings,  // then few raised templates, then little softening
  few_raised,   // then few firings, then little softening
};

struct FiringWish {
  int most_firings = 0;  // 0: as many as it takes
  bool raised_allowed = false;
  Prefer prefer = Prefer::few_firings;
};

// One firing: its layers in the order in which they are put down.
struct FoundFiring {
  std::vector<std::size_t> layers;
  std::vector<bool> raised;  // whether the template stands on spacers, one a layer of `layers`
};

struct FiringAnswer {
  std::vector<FoundFiring> firings;
  std::int64_t softening = 0;
  int raised = 0;
  bool proven = false;  // nothing better fulfils the wish
  int least = 0;        // no plan that fulfils the wish has fewer firings
};

// Of all orders and splits that keep the rules of the task the best; among equals the one that fills the
// early firings first. Nothing when there is none. Exact up to `most_layers_exactly` layers (dynamic
// programming over the sets that may be fired by then); beyond that a search that keeps the `states_kept`
// best states of each step, exact when it never had to drop one, else with the lower bound of least_firings.
std::optional<FiringAnswer> best_firings(const FiringTask& task, const FiringWish& wish);

inline constexpr std::size_t most_layers_exactly = 16;
inline constexpr std::size_t states_kept = 4000;

// The search for more layers, on its own (for tests): at most `kept` states a step.
std::optional<FiringAnswer> bounded_firings(const FiringTask& task, const FiringWish& wish, std::size_t kept);

}  // namespace powderplan
