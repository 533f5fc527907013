#include "firing/firing_search.h"

#include <algorithm>
#include <limits>
#include <tuple>
#include <unordered_map>

namespace powderplan {
namespace {

// Costs of one number of firings, compared in this order.
struct Cost {
  int raised = 0;
  std::int64_t softening = 0;
  // Sum over layers of the firing each is in: of equal plans the one that fills early firings first.
  int lateness = 0;

  [[nodiscard]] Cost with(const Cost& other) const {
    return {raised + other.raised, softening + other.softening, lateness + other.lateness};
  }
  friend bool operator<(const Cost& a, const Cost& b) {
    return std::tie(a.raised, a.softening, a.lateness) < std::tie(b.raised, b.softening, b.lateness);
  }
};
constexpr Cost impossible{std::numeric_limits<int>::max() / 2, 0, 0};

bool possible(const Cost& cost) {
  return cost.raised < impossible.raised;
}

// Whether plan `a` of so many firings comes before plan `b`.
bool better(const FiringWish& wish, int firings_a, const Cost& a, int firings_b, const Cost& b) {
  if (wish.prefer == Prefer::few_raised && a.raised != b.raised)
    return a.raised < b.raised;
  if (firings_a != firings_b)
    return firings_a < firings_b;
  return a < b;
}

int most_firings_of(const FiringTask& task, const FiringWish& wish) {
  const int all = static_cast<int>(task.layers);
  return wish.most_firings > 0 ? std::min(wish.most_firings, all) : all;
}

class ExactSearch {
 public:
  ExactSearch(const FiringTask& task, const FiringWish& wish)
      : task_(task),
        wish_(wish),
        sets_(std::size_t{1} << task.layers),
        all_(first_layers(task.layers)),
        needed_(needed_before(task)) {
    for_each_layer(all_, [&](std::size_t layer) {
      if (task.fixed[layer])
        fixed_ |= only(layer);
    });
  }

  std::optional<FiringAnswer> run() {
    find_closed_sets();
    find_groups();
    const int most = most_firings_of(task_, wish_);
    int best = 0;
    Cost best_cost = impossible;
    reached_.assign(1, std::vector<Cost>(sets_, impossible));
    reached_[0][0] = {};
    for (int firing = 1; firing <= most; ++firing) {
      add_firing(firing);
      const Cost& cost = reached_.back()[all_];
      if (possible(cost) && (best == 0 || better(wish_, firing, cost, best, best_cost))) {
        best = firing;
        best_cost = cost;
      }
      if (best != 0 && (wish_.prefer == Prefer::few_firings || best_cost.raised == 0))
        break;
    }
    if (best == 0)
      return std::nullopt;
    return answer(best, best_cost);
  }

 private:
  // Sets that may be down at the end of a firing.
  void find_closed_sets() {
    closed_.assign(sets_, true);
    for (LayerSet set = 0; set < sets_; ++set) {
      for_each_layer(set, [&](std::size_t layer) {
        if ((needed_[layer] & ~set) != 0)
          closed_[set] = false;
      });
    }
  }

  // The best order of each set in one firing, by the layer that is put down last.
  void find_groups() {
    group_.assign(sets_, impossible);
    last_.assign(sets_, 0);
    group_[0] = {};
    for (LayerSet set = 1; set < sets_; ++set) {
      if (!may_share(task_, set))
        continue;
      for_each_layer(set, [&](std::size_t layer) {
        const LayerSet before = set & ~only(layer);
        if (!possible(group_[before]) || must_be_down_for_others(layer, before))
          return;
        const bool raised = (task_.touches[layer] & before) != 0;
        if (raised && !wish_.raised_allowed)
          return;
        const Cost cost = group_[before].with(raised ? Cost{1, task_.softening[layer], 0} : Cost{});
        // Of equals the one whose last layer comes last in the list.
        if (!(group_[set] < cost)) {
          group_[set] = cost;
          last_[set] = static_cast<std::uint8_t>(layer);
        }
      });
    }
  }
  [[nodiscard]] bool must_be_down_for_others(std::size_t layer, LayerSet others) const {
    bool must = false;
    for_each_layer(others, [&](std::size_t other) { must = must || holds(task_.above[other], layer); });
    return must;
  }

  void add_firing(int firing) {
    LayerSet fixed_here = 0;
    for_each_layer(fixed_, [&](std::size_t layer) {
      if (*task_.fixed[layer] == firing)
        fixed_here |= only(layer);
    });
    const std::vector<Cost>& before = reached_.back();
    std::vector<Cost> after(sets_, impossible);
    std::vector<LayerSet> by(sets_, 0);
    for (LayerSet set = 1; set < sets_; ++set) {
      if (!closed_[set] || (fixed_here & ~set) != 0)
        continue;
      for (LayerSet group = set; group != 0; group = (group - 1) & set) {
        if ((group & fixed_) != fixed_here || !possible(group_[group]) || !possible(before[set & ~group]))
          continue;
        Cost cost = before[set & ~group].with(group_[group]);
        cost.lateness += firing * static_cast<int>(size_of(group));
        if (cost < after[set]) {
          after[set] = cost;
          by[set] = group;
        }
      }
    }
    reached_.push_back(std::move(after));
    groups_.push_back(std::move(by));
  }

  [[nodiscard]] FiringAnswer answer(int firings, const Cost& cost) const {
    FiringAnswer found;
    found.raised = cost.raised;
    found.softening = cost.softening;
    found.proven = true;
    found.least = wish_.prefer == Prefer::few_firings ? firings : fewest_reached();
    LayerSet set = all_;
    for (int firing = firings; firing >= 1; --firing) {
      const LayerSet group = groups_[static_cast<std::size_t>(firing) - 1][set];
      FoundFiring one;
      for (LayerSet rest = group; rest != 0;) {
        const std::size_t layer = last_[rest];
        rest &= ~only(layer);
        one.layers.insert(one.layers.begin(), layer);
        one.raised.insert(one.raised.begin(), (task_.touches[layer] & rest) != 0);
      }
      found.firings.insert(found.firings.begin(), std::move(one));
      set &= ~group;
    }
    return found;
  }
  [[nodiscard]] int fewest_reached() const {
    for (std::size_t firing = 1; firing < reached_.size(); ++firing) {
      if (possible(reached_[firing][all_]))
        return static_cast<int>(firing);
    }
    return 0;
  }

  const FiringTask& task_;
  const FiringWish& wish_;
  LayerSet sets_, all_;
  std::vector<LayerSet> needed_;
  LayerSet fixed_ = 0;
  std::vector<bool> closed_;
  std::vector<Cost> group_;
  std::vector<std::uint8_t> last_;
  std::vector<std::vector<Cost>> reached_;     // by number of firings and set
  std::vector<std::vector<LayerSet>> groups_;  // the last firing of each
};

// One layer after the other, in its firing or as the first of a new one.
class BoundedSearch {
 public:
  BoundedSearch(const FiringTask& task, const FiringWish& wish, std::size_t kept)
      : task_(task), wish_(wish), kept_(kept), needed_(needed_before(task)) {}

  std::optional<FiringAnswer> run() {
    const int most = most_firings_of(task_, wish_);
    steps_.push_back({State{}});
    for (std::size_t placed = 0; placed < task_.layers; ++placed) {
      std::vector<State> next;
      for (std::size_t from = 0; from < steps_.back().size(); ++from) {
        const State& state = steps_.back()[from];
        for (std::size_t layer = 0; layer < task_.layers; ++layer) {
          if (holds(state.down, layer) || (needed_[layer] & ~state.down) != 0)
            continue;
          if (state.firings > 0)
            consider(state, from, layer, false, next);
          if (state.firings < most)
            consider(state, from, layer, true, next);
        }
      }
      if (next.empty())
        return std::nullopt;
      steps_.push_back(the_best(std::move(next)));
    }
    return answer();
  }

 private:
  struct State {
    LayerSet down = 0, loose = 0;
    int firings = 0;
    Cost cost;
    std::size_t from = 0;  // place in the step before
    std::size_t layer = 0;
    bool raised = false;
  };

  void consider(const State& state, std::size_t from, std::size_t layer, bool new_firing,
                std::vector<State>& next) const {
    State to{state.down | only(layer),
             (new_firing ? 0 : state.loose) | only(layer),
             state.firings + (new_firing ? 1 : 0),
             state.cost,
             from,
             layer,
             false};
    if (task_.fixed[layer].value_or(to.firings) != to.firings || !may_share(task_, to.loose))
      return;
    // What is fixed to a firing must be in it before the next begins.
    for (std::size_t other = 0; new_firing && other < task_.layers; ++other) {
      if (!holds(state.down, other) && task_.fixed[other].value_or(to.firings) < to.firings)
        return;
    }
    to.raised = (task_.touches[layer] & to.loose & ~only(layer)) != 0;
    if (to.raised && !wish_.raised_allowed)
      return;
    to.cost = to.cost.with({to.raised ? 1 : 0, to.raised ? task_.softening[layer] : 0, to.firings});
    next.push_back(to);
  }

  [[nodiscard]] bool comes_first(const State& a, const State& b) const {
    return better(wish_, a.firings, a.cost, b.firings, b.cost);
  }

  // Of equal states the best, and of all at most so many.
  std::vector<State> the_best(std::vector<State> states) {
    std::stable_sort(states.begin(), states.end(),
                     [&](const State& a, const State& b) { return comes_first(a, b); });
    std::unordered_map<LayerSet, std::vector<std::size_t>> seen;  // by what is down
    std::vector<State> best;
    for (const State& state : states) {
      std::vector<std::size_t>& same = seen[state.down];
      // With fewer firings behind it the same may still be fixed to a later one.
      const bool known = std::any_of(same.begin(), same.end(), [&](std::size_t i) {
        return best[i].loose == state.loose && best[i].firings == state.firings;
      });
      if (known)
        continue;
      if (best.size() == kept_) {
        dropped_ = true;
        break;
      }
      same.push_back(best.size());
      best.push_back(state);
    }
    return best;
  }

  [[nodiscard]] std::optional<FiringAnswer> answer() const {
    // What is fixed to a firing that was never reached has not been placed; so all of these are whole.
    const std::vector<State>& ends = steps_.back();
    const State& best = *std::min_element(ends.begin(), ends.end(),
                                          [&](const State& a, const State& b) { return comes_first(a, b); });
    FiringAnswer found;
    found.raised = best.cost.raised;
    found.softening = best.cost.softening;
    found.least = least_firings(task_, wish_.raised_allowed);
    if (!dropped_ && wish_.prefer == Prefer::few_firings)
      found.least = best.firings;
    found.proven = !dropped_ || (wish_.prefer == Prefer::few_firings && best.cost.raised == 0 &&
                                 best.firings == found.least);
    const State* state = &best;
    std::vector<FoundFiring> backwards(1);
    for (std::size_t step = steps_.size() - 1; step > 0; --step) {
      FoundFiring& firing = backwards.back();
      firing.layers.insert(firing.layers.begin(), state->layer);
      firing.raised.insert(firing.raised.begin(), state->raised);
      const State& before = steps_[step - 1][state->from];
      if (before.firings != state->firings && step > 1)
        backwards.emplace_back();
      state = &before;
    }
    found.firings.assign(backwards.rbegin(), backwards.rend());
    return found;
  }

  const FiringTask& task_;
  const FiringWish& wish_;
  std::size_t kept_;
  std::vector<LayerSet> needed_;
  std::vector<std::vector<State>> steps_;
  bool dropped_ = false;
};

}  // namespace

std::optional<FiringAnswer> bounded_firings(const FiringTask& task, const FiringWish& wish,
                                            std::size_t kept) {
  if (task.layers == 0)
    return FiringAnswer{{}, 0, 0, true, 0};
  return BoundedSearch(task, wish, kept).run();
}

std::optional<FiringAnswer> best_firings(const FiringTask& task, const FiringWish& wish) {
  if (task.layers == 0)
    return FiringAnswer{{}, 0, 0, true, 0};
  if (task.layers > most_layers_exactly)
    return bounded_firings(task, wish, states_kept);
  return ExactSearch(task, wish).run();
}

}  // namespace powderplan
