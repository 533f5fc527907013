#include "firing/firing_relief.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "problem.h"

namespace powderplan {
namespace {

// Loads are offered in whole thousandths of g/cm2.
constexpr double load_step = 0.001;

[[noreturn]] void infeasible(std::string place, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::infeasible, std::move(place), std::move(wrong), std::move(remedy));
}

void refuse_what_is_too_heavy_alone(const FiringTask& task) {
  Load most;
  for (std::size_t layer = 0; layer < task.layers; ++layer)
    most = std::max(most, heaviest(task, only(layer)));
  if (most > task.most_loose_load + load_tolerance)
    infeasible("--load",
               fmt::format("one layer alone lays {:.3f} g/cm2, more than the {:.3f} allowed in a firing",
                           most.value(), task.most_loose_load.value()),
               fmt::format("allow --load {:.3f}", most.value()));
}

// Two fixed layers that contradict each other.
void refuse_what_is_fixed_wrongly(const FiringTask& task, const std::vector<std::string>& names) {
  const std::vector<LayerSet> needed = needed_before(task);
  for (std::size_t above = 0; above < task.layers; ++above) {
    for (std::size_t below = 0; below < task.layers; ++below) {
      if (!task.fixed[above] || !task.fixed[below] || !holds(needed[above], below))
        continue;
      const int first = *task.fixed[below], second = *task.fixed[above];
      const bool fired_before = holds(task.fired_before[above], below);
      if (first < second || (first == second && !fired_before))
        continue;
      infeasible("--in-firing",
                 fmt::format("{} is fixed to firing {} and {} to firing {}, but {} {}", names[below], first,
                             names[above], second, names[below],
                             fired_before ? "is fired hotter, so it must be fired before"
                                          : "lies below and must be down first"),
                 fmt::format("give {} a firing {} {}", names[below],
                             fired_before ? "before" : "no later than", second));
    }
  }
  for (std::size_t one = 0; one < task.layers; ++one) {
    for (std::size_t other = one + 1; other < task.layers; ++other) {
      if (!task.fixed[one] || task.fixed[one] != task.fixed[other])
        continue;
      const LayerSet both = only(one) | only(other);
      if (may_share(task, both))
        continue;
      infeasible("--in-firing",
                 fmt::format("{} and {} are both fixed to firing {}, but {}", names[one], names[other],
                             *task.fixed[one],
                             holds(task.never_with[one], other)
                                 ? "they react and must not lie loose together"
                                 : fmt::format("together they lay {:.3f} g/cm2, more than the {:.3f} allowed",
                                               heaviest(task, both).value(), task.most_loose_load.value())),
                 "fix only one of them");
    }
  }
}

FiringLimits without_most(FiringLimits limits) {
  limits.most_firings.reset();
  limits.rather_at_most.reset();
  return limits;
}

// The smallest load that makes a plan possible, found between the limit and what lies anywhere.
std::optional<Load> load_that_does(FiringTask task, const FiringLimits& limits) {
  int low = static_cast<int>(std::floor(task.most_loose_load.value() / load_step));
  int high =
      static_cast<int>(std::ceil(heaviest(task, first_layers(task.layers)).value() / load_step - 1e-6));
  const auto possible = [&](int steps) {
    task.most_loose_load = Load(steps * load_step);
    return answer_within(task, limits).has_value();
  };
  if (high <= low || !possible(high))
    return std::nullopt;
  while (high - low > 1) {
    const int middle = (low + high) / 2;
    (possible(middle) ? high : low) = middle;
  }
  return Load(high * load_step);
}

std::vector<std::string> reliefs(const FiringTask& task, const FiringLimits& limits,
                                 const std::vector<std::string>& names) {
  std::vector<std::string> found;
  if (limits.most_firings) {
    if (const auto more = answer_within(task, without_most(limits)))
      found.push_back(fmt::format("--firings {}", more->firings.size()));
  }
  if (limits.raised == RaisedUse::never) {
    FiringLimits raised = limits;
    raised.raised = RaisedUse::when_needed;
    if (answer_within(task, raised))
      found.emplace_back("stencils raised on spacers (--raised when-needed)");
  }
  if (const auto load = load_that_does(task, limits))
    found.push_back(fmt::format("--load {:.3f}", load->value()));
  // Layers of one powder are fixed together, and freed together.
  std::vector<std::string> freed_before;
  for (std::size_t fixed = 0; fixed < task.layers; ++fixed) {
    const std::string& name = names[fixed];
    if (!task.fixed[fixed] || std::find(freed_before.begin(), freed_before.end(), name) != freed_before.end())
      continue;
    freed_before.push_back(name);
    FiringTask freed = task;
    for (std::size_t layer = 0; layer < task.layers; ++layer) {
      if (names[layer] == name)
        freed.fixed[layer].reset();
    }
    if (answer_within(freed, limits))
      found.push_back(
          fmt::format("what is fixed to firing {} ({}) to lie in another", *task.fixed[fixed], name));
  }
  return found;
}

}  // namespace

std::optional<FiringAnswer> answer_within(const FiringTask& task, const FiringLimits& limits) {
  const int most = limits.most_firings.value_or(0);
  if (limits.raised == RaisedUse::freely)
    return best_firings(task, {most, true, Prefer::few_firings});
  const bool may_raise = limits.raised == RaisedUse::when_needed;
  const bool rather = may_raise && !limits.most_firings && limits.rather_at_most;
  if (auto flat = best_firings(task, {rather ? *limits.rather_at_most : most, false, Prefer::few_firings}))
    return flat;
  if (!may_raise)
    return std::nullopt;
  if (!rather)
    return best_firings(task, {most, true, Prefer::few_raised});
  for (int firings = *limits.rather_at_most; firings <= static_cast<int>(task.layers); ++firings) {
    if (auto found = best_firings(task, {firings, true, Prefer::few_raised}))
      return found;
  }
  return std::nullopt;
}

void refuse(const FiringTask& task, const FiringLimits& limits, const std::vector<std::string>& names) {
  refuse_what_is_too_heavy_alone(task);
  refuse_what_is_fixed_wrongly(task, names);
  const std::vector<std::string> found = reliefs(task, limits, names);
  const std::string remedy = found.empty()
                                 ? "allow fewer --layers"
                                 : fmt::format("allow {}, or fewer --layers", fmt::join(found, ", or "));
  const auto unlimited = answer_within(task, without_most(limits));
  if (limits.most_firings && unlimited)
    infeasible("--firings",
               fmt::format("the {} layers need {} firings, more than the {} allowed", task.layers,
                           unlimited->firings.size(), *limits.most_firings),
               remedy);
  infeasible(limits.fixed.empty() ? "--firings" : "--in-firing",
             fmt::format("no order of the {} layers keeps what is asked of their firings", task.layers),
             remedy);
}

}  // namespace powderplan
