#include "separation/choice_search.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <mutex>
#include <random>

#include "parallel.h"
#include "separation/colour_metric.h"
#include "separation/label_colours.h"
#include "separation/quick_labels.h"

namespace powderplan {
namespace {

// Loads at which a new layer is tried before it is tuned, as shares of the largest.
constexpr std::array<double, 4> trial_shares{0.03, 0.09, 0.25, 0.7};
constexpr double place_trial_share = 0.15;
// Factors by which a load is tried heavier and lighter; each round looks closer.
constexpr std::array<double, 3> tuning_steps{1.6, 1.25, 1.09};
// An exchange must gain this share of the distance to be kept.
constexpr double least_gain = 0.0015;
constexpr int most_sweeps = 4;
// The search by lot goes on for so many rounds, or until this many distances between a colour and a label
// have been computed.
constexpr int rounds_by_lot = 24;
constexpr std::int64_t distances_by_lot = 1'000'000'000;
constexpr double worth_a_closer_look = 1.04;

class Search {
 public:
  Search(const Painter& painter, const std::vector<WeightedColour>& colours, const ChoiceLimits& limits)
      : limits_(limits), labels_(painter, limits.most_load * static_cast<double>(limits.most_at_a_spot)) {
    double total = 0;
    for (const WeightedColour& c : colours)
      total += c.weight;
    for (const WeightedColour& c : colours)
      metrics_.push_back({LocalMetric(c.lab), c.weight / total});
  }

  [[nodiscard]] double distance(const Choice& choice) const {
    const auto shape = shape_of(choice);
    const LabColumns colours = labels_.colours(choice, *shape);
    distances_ += static_cast<std::int64_t>(shape->labels().size() * metrics_.size());
    if (!limits_.pairs.empty())
      return distance_with_contacts(choice, shape->labels(), colours);
    double sum = 0;
    for (const auto& [metric, weight] : metrics_)
      sum += weight * std::sqrt(static_cast<double>(metric.nearest(colours)));
    return sum;
  }

  // Of `count` choices. One takes some microseconds, so each thread takes several at a time.
  template <class At>
  [[nodiscard]] std::vector<double> distances_of(std::size_t count, const At& choice_at) const {
    constexpr std::size_t at_a_time = 8;
    std::vector<double> found(count);
    for_each_block((count + at_a_time - 1) / at_a_time, [&](std::size_t block) {
      for (std::size_t i = block * at_a_time; i < std::min(count, (block + 1) * at_a_time); ++i)
        found[i] = distance(choice_at(i));
    });
    return found;
  }

  // The best of several; the first of equals. Empty candidates give `otherwise`.
  [[nodiscard]] FoundChoice best_of(const std::vector<Choice>& candidates, FoundChoice otherwise) const {
    const std::vector<double> cost =
        distances_of(candidates.size(), [&](std::size_t i) -> const Choice& { return candidates[i]; });
    for (std::size_t i = 0; i < candidates.size(); ++i) {
      if (cost[i] < otherwise.mean_distance)
        otherwise = {candidates[i], cost[i]};
    }
    return otherwise;
  }

  // How many distances have been computed so far: a clock that runs alike everywhere.
  [[nodiscard]] std::int64_t distances() const { return distances_; }

  [[nodiscard]] bool room_for_a_layer(const Choice& choice) const {
    return layer_count(choice) < limits_.most_layers;
  }

  // The choice with one more layer, the best there is; the choice itself when none helps.
  [[nodiscard]] FoundChoice with_one_more(const FoundChoice& found,
                                          const std::vector<std::size_t>& powders) const {
    FoundChoice start{found.choice, found.mean_distance};
    // First where each powder would lie best, at one middling load; then how heavy.
    std::vector<Added> places;
    std::vector<Choice> candidates;
    std::vector<std::size_t> group;  // of equal powder
    for (std::size_t g = 0; g < powders.size(); ++g) {
      for (Added& added : with_powder(found.choice, powders[g], limits_.most_load * place_trial_share)) {
        places.push_back(std::move(added));
        group.push_back(g);
      }
    }
    const std::vector<double> cost =
        distances_of(places.size(), [&](std::size_t i) -> const Choice& { return places[i].choice; });
    for (std::size_t g = 0; g < powders.size(); ++g) {
      std::size_t best = places.size();
      for (std::size_t i = 0; i < places.size(); ++i) {
        if (group[i] == g && (best == places.size() || cost[i] < cost[best]))
          best = i;
      }
      if (best < places.size()) {
        for (const double share : trial_shares)
          add_candidate(with_load(places[best], limits_.most_load * share), candidates);
        add_candidate(places[best].choice, candidates);
      }
      for (const double share : trial_shares)
        add_tones(found.choice, powders[g], limits_.most_load * share, candidates);
    }
    return best_of(candidates, start);
  }

  // Each load in turn, heavier or lighter.
  [[nodiscard]] FoundChoice tuned(FoundChoice found) const {
    for (const double step : tuning_steps)
      found = tuned_by(std::move(found), step);
    return found;
  }
  [[nodiscard]] FoundChoice tuned_by(FoundChoice found, double step) const {
    for (std::size_t n = 0; n < found.choice.size(); ++n) {
      for (std::size_t i = 0; i < found.choice[n].steps.size(); ++i) {
        std::vector<Choice> candidates;
        for (const double factor : {1 / (step * step), 1 / step, step, step * step}) {
          Choice changed = found.choice;
          changed[n].steps[i].load = changed[n].steps[i].load * factor;
          add_candidate(std::move(changed), candidates);
        }
        found = best_of(candidates, std::move(found));
      }
    }
    return found;
  }

  // Each nest moved to every other place in the stack.
  [[nodiscard]] FoundChoice reordered(FoundChoice found) const {
    for (std::size_t p = 0; p < found.choice.size(); ++p) {
      std::vector<Choice> candidates;
      for (std::size_t to = 0; to < found.choice.size(); ++to) {
        if (to == p)
          continue;
        Choice changed = found.choice;
        const Nest moved = changed[p];
        changed.erase(changed.begin() + static_cast<std::ptrdiff_t>(p));
        changed.insert(changed.begin() + static_cast<std::ptrdiff_t>(to), moved);
        add_candidate(std::move(changed), candidates);
      }
      found = best_of(candidates, std::move(found));
    }
    return found;
  }

  // Every layer taken out in turn and the best put in its place. False when nothing helped.
  bool exchange(FoundChoice& found) const {
    bool better = false;
    for (std::size_t n = 0; n < found.choice.size(); ++n) {
      for (std::size_t i = 0; i < found.choice[n].steps.size(); ++i) {
        Choice without = found.choice;
        take_out(without, n, i);
        FoundChoice changed = with_one_more({without, distance(without)}, limits_.usable);
        if (!holds_all(changed.choice) || layer_count(changed.choice) <= layer_count(without))
          continue;
        // Only what comes close is worth the tuning.
        if (changed.mean_distance > found.mean_distance * 1.02)
          continue;
        changed = tuned_by(std::move(changed), tuning_steps[1]);
        if (changed.mean_distance < found.mean_distance * (1 - least_gain)) {
          found = std::move(changed);
          better = true;
          if (n >= found.choice.size())
            return true;
        }
      }
    }
    return better;
  }

  // The choice with two to four of its layers taken out, by lot.
  [[nodiscard]] FoundChoice without_some(const FoundChoice& found, std::mt19937& lot) const {
    Choice choice = found.choice;
    const std::size_t gone = std::min<std::size_t>(layer_count(choice), 2 + lot() % 3);
    for (std::size_t k = 0; k < gone; ++k) {
      std::size_t pick = lot() % layer_count(choice);
      for (std::size_t n = 0; n < choice.size(); ++n) {
        if (pick < choice[n].steps.size()) {
          take_out(choice, n, pick);
          break;
        }
        pick -= choice[n].steps.size();
      }
    }
    return {choice, distance(choice)};
  }

  [[nodiscard]] const std::vector<std::size_t>& usable() const { return limits_.usable; }

  [[nodiscard]] bool holds_all(const Choice& choice) const {
    const std::vector<std::size_t> held = powders_of(choice);
    return std::all_of(limits_.use.begin(), limits_.use.end(),
                       [&](std::size_t powder) { return contains(held, powder); });
  }

 private:
  // The same where some labels cost more than their colours tell.
  [[nodiscard]] double distance_with_contacts(const Choice& choice, const std::vector<Tones>& labels,
                                              const LabColumns& colours) const {
    std::map<double, std::vector<Lab>> labs;  // by what their contacts cost
    for (std::size_t i = 0; i < labels.size(); ++i)
      labs[price_of_contacts(recipe_of(choice, labels[i]), limits_.pairs)].push_back(
          {colours.l[i], colours.a[i], colours.b[i]});
    std::vector<std::pair<double, LabColumns>> columns;
    for (const auto& [price, of_price] : labs)
      columns.emplace_back(price, LabColumns(of_price));
    double sum = 0;
    for (const auto& [metric, weight] : metrics_) {
      double least = std::numeric_limits<double>::infinity();
      for (const auto& [price, of_price] : columns)
        least = std::min(least, price + std::sqrt(static_cast<double>(metric.nearest(of_price))));
      sum += weight * least;
    }
    return sum + price_of_holding(choice, limits_.pairs);
  }
  static bool contains(const std::vector<std::size_t>& list, std::size_t powder) {
    return std::find(list.begin(), list.end(), powder) != list.end();
  }
  static void take_out(Choice& choice, std::size_t nest, std::size_t step) {
    std::vector<Dose>& steps = choice[nest].steps;
    steps.erase(steps.begin() + static_cast<std::ptrdiff_t>(step));
    if (steps.empty())
      choice.erase(choice.begin() + static_cast<std::ptrdiff_t>(nest));
  }
  // A choice with a layer that it did not have.
  struct Added {
    Choice choice;
    std::size_t nest = 0, step = 0;  // the new one; step counts from 0
  };
  static Choice with_load(const Added& added, Load load) {
    Choice choice = added.choice;
    choice[added.nest].steps[added.step].load = load;
    return choice;
  }
  void add_candidate(Choice choice, std::vector<Choice>& candidates) const {
    if (allowed(choice, limits_))
      candidates.push_back(std::move(choice));
  }
  // The powder in a nest of its own at every place in the stack, and where nests may be mixed inside each.
  [[nodiscard]] std::vector<Added> with_powder(const Choice& choice, std::size_t powder, Load load) const {
    std::vector<Added> found;
    const std::vector<std::size_t> held = powders_of(choice);
    const bool known = contains(held, powder);
    if (!known && limits_.most_powders && held.size() >= *limits_.most_powders)
      return found;
    const Dose dose{powder, std::max(load, limits_.least_load)};
    const auto keep = [&](Added added) {
      if (allowed(added.choice, limits_))
        found.push_back(std::move(added));
    };
    if (!known || limits_.most_nests) {
      for (std::size_t at = 0; at <= choice.size(); ++at) {
        Added added{choice, at, 0};
        added.choice.insert(added.choice.begin() + static_cast<std::ptrdiff_t>(at), Nest{{dose}});
        keep(std::move(added));
      }
    }
    if (!limits_.most_nests)
      return found;
    for (std::size_t n = 0; n < choice.size(); ++n) {
      for (std::size_t step = 0; step <= choice[n].steps.size(); ++step) {
        Added added{choice, n, step};
        std::vector<Dose>& steps = added.choice[n].steps;
        steps.insert(steps.begin() + static_cast<std::ptrdiff_t>(step), dose);
        keep(std::move(added));
      }
    }
    return found;
  }
  // One more tone of a powder in each of its nests: a heavier one, or a lighter one before the first.
  void add_tones(const Choice& choice, std::size_t powder, Load load, std::vector<Choice>& candidates) const {
    for (std::size_t n = 0; n < choice.size(); ++n) {
      const std::vector<Dose>& steps = choice[n].steps;
      for (std::size_t i = 0; i < steps.size(); ++i) {
        if (steps[i].powder != powder)
          continue;
        if (i + 1 == steps.size() && !limits_.most_nests) {
          Choice changed = choice;
          changed[n].steps.push_back({powder, load});
          add_candidate(std::move(changed), candidates);
        }
        if ((i == 0 || limits_.most_nests) && steps[i].load - load >= limits_.least_load) {
          Choice split = choice;
          std::vector<Dose>& with = split[n].steps;
          with.insert(with.begin() + static_cast<std::ptrdiff_t>(i), Dose{powder, load});
          with[i + 1].load = with[i + 1].load - load;
          add_candidate(std::move(split), candidates);
        }
      }
    }
  }
  // Shapes depend on the pattern only and are kept between calls.
  [[nodiscard]] std::shared_ptr<const LabelShape> shape_of(const Choice& choice) const {
    const std::lock_guard guard(shapes_lock_);
    auto& shape = shapes_[pattern_of(choice)];
    if (!shape)
      shape = std::make_shared<LabelShape>(choice, all_labels(choice, limits_.most_at_a_spot));
    return shape;
  }

  const ChoiceLimits& limits_;
  QuickLabels labels_;
  std::vector<std::pair<LocalMetric, double>> metrics_;
  mutable std::atomic<std::int64_t> distances_{0};
  mutable std::mutex shapes_lock_;
  mutable std::map<std::vector<std::size_t>, std::shared_ptr<const LabelShape>> shapes_;
};

bool in_order(const Choice& choice, const std::vector<std::size_t>& order) {
  std::size_t reached = 0;
  for (const Nest& nest : choice) {
    for (auto step = nest.steps.rbegin(); step != nest.steps.rend(); ++step) {
      const auto at = std::find(order.begin(), order.end(), step->powder);
      if (at == order.end())
        continue;
      const auto place = static_cast<std::size_t>(at - order.begin());
      if (place < reached)
        return false;
      reached = place;
    }
  }
  return true;
}

// Whether the nests can be the firings that the powders ask for: no more nests below one than there are
// firings before its own, nor above it than after.
bool in_their_firings(const Choice& choice, const ChoiceLimits& limits) {
  if (!limits.most_nests)
    return true;
  for (const ChoiceLimits::InFiring& wish : limits.in_firing) {
    for (std::size_t n = 0; n < choice.size(); ++n) {
      const bool held = std::any_of(choice[n].steps.begin(), choice[n].steps.end(),
                                    [&](const Dose& step) { return step.powder == wish.powder; });
      const std::size_t above = choice.size() - 1 - n;
      if (held && (n + 1 > wish.firing || above + wish.firing > *limits.most_nests))
        return false;
    }
  }
  return true;
}

// Whether a nest, whose layers lie loose together, holds two powders that are to be kept apart.
bool mixes_what_reacts(const Nest& nest, const std::vector<PairPrice>& pairs) {
  const auto held = [&](std::size_t powder) {
    return std::any_of(nest.steps.begin(), nest.steps.end(),
                       [&](const Dose& step) { return step.powder == powder; });
  };
  return std::any_of(pairs.begin(), pairs.end(), [&](const PairPrice& pair) {
    return !pair.by_load() && pair.price > 0 && held(pair.one) && held(pair.other);
  });
}

bool cools_upwards(const Choice& choice, const std::vector<int>& heat) {
  if (heat.empty())
    return true;
  std::optional<int> below;
  for (const Nest& nest : choice) {
    const int own = heat[nest.steps.front().powder];
    const bool alike = std::all_of(nest.steps.begin(), nest.steps.end(),
                                   [&](const Dose& step) { return heat[step.powder] == own; });
    if (!alike || own > below.value_or(own))
      return false;
    below = own;
  }
  return true;
}

// Some layers thrown out by lot and the best put in their place: what exchanges of one layer cannot reach.
template <class Report>
void by_lot(const Search& search, FoundChoice& found, const Report& report) {
  std::mt19937 lot(1);
  const std::int64_t before = search.distances();
  for (int round = 0; round < rounds_by_lot; ++round) {
    if (search.distances() - before >= distances_by_lot || layer_count(found.choice) < 2)
      break;
    report(0.6 +
           0.4 * static_cast<double>(search.distances() - before) / static_cast<double>(distances_by_lot));
    FoundChoice tried = search.without_some(found, lot);
    while (search.room_for_a_layer(tried.choice)) {
      FoundChoice more = search.with_one_more(tried, search.usable());
      if (layer_count(more.choice) == layer_count(tried.choice))
        break;
      tried = search.tuned_by(std::move(more), tuning_steps[1]);
    }
    if (tried.mean_distance > found.mean_distance * worth_a_closer_look || !search.holds_all(tried.choice))
      continue;
    tried = search.tuned(search.reordered(std::move(tried)));
    search.exchange(tried);
    tried = search.tuned(std::move(tried));
    if (tried.mean_distance < found.mean_distance)
      found = std::move(tried);
  }
}

}  // namespace

bool allowed(const Choice& choice, const ChoiceLimits& limits) {
  if (limits.most_nests && choice.size() > *limits.most_nests)
    return false;
  if (!in_their_firings(choice, limits) || !cools_upwards(choice, limits.heat))
    return false;
  const auto fits = [&](const Nest& nest) {
    const auto too_light = [&](const Dose& step) { return step.load < limits.least_load; };
    const auto wants_its_own = [&](const Dose& step) {
      return std::find(limits.apart.begin(), limits.apart.end(), step.powder) != limits.apart.end();
    };
    return std::none_of(nest.steps.begin(), nest.steps.end(), too_light) &&
           total_load(nest) <= limits.most_load && !mixes_what_reacts(nest, limits.pairs) &&
           (of_one_powder(nest) || std::none_of(nest.steps.begin(), nest.steps.end(), wants_its_own));
  };
  return std::all_of(choice.begin(), choice.end(), fits) && in_order(choice, limits.order);
}

FoundChoice search_choice(const Painter& painter, const std::vector<WeightedColour>& colours,
                          const ChoiceLimits& limits, SearchEffort effort,
                          const std::function<void(double)>& progress) {
  const Search search(painter, colours, limits);
  const auto report = [&](double share) {
    if (progress)
      progress(share);
  };
  FoundChoice found{{}, search.distance({})};
  // Powders that the user asks for come first; each must go in even where it does not help.
  for (const std::size_t powder : limits.use) {
    FoundChoice with = search.with_one_more({found.choice, 1e30}, {powder});
    found = std::move(with);
  }
  while (search.room_for_a_layer(found.choice)) {
    FoundChoice more = search.with_one_more(found, limits.usable);
    if (layer_count(more.choice) == layer_count(found.choice))
      break;
    found = search.tuned_by(std::move(more), tuning_steps[effort == SearchEffort::thorough ? 1 : 0]);
    report(0.4 * static_cast<double>(layer_count(found.choice)) / static_cast<double>(limits.most_layers));
  }
  if (effort == SearchEffort::quick)
    return found;
  for (int sweep = 0; sweep < most_sweeps; ++sweep) {
    found = search.tuned(search.reordered(std::move(found)));
    report(0.4 + 0.2 * (sweep + 0.5) / most_sweeps);
    if (!search.exchange(found))
      break;
    report(0.4 + 0.2 * (sweep + 1.0) / most_sweeps);
  }
  found = search.tuned(search.reordered(std::move(found)));
  if (effort == SearchEffort::settled)
    return found;
  by_lot(search, found, report);
  return found;
}

FoundChoice search_on(const Painter& painter, const std::vector<WeightedColour>& colours,
                      const ChoiceLimits& limits, const Choice& from,
                      const std::function<void(double)>& progress) {
  const Search search(painter, colours, limits);
  FoundChoice found{from, search.distance(from)};
  by_lot(search, found, [&](double share) {
    if (progress)
      progress(share);
  });
  return found;
}

}  // namespace powderplan
