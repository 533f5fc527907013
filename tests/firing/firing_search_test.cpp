#include "firing/firing_search.h"

#include <algorithm>
#include <optional>
#include <random>

#include "property.h"

namespace powderplan {
namespace {

// Everything tried: each layer next in the firing, or as the first of another. A branch is left only once it
// is no better than what is known.
class EveryPlan {
 public:
  EveryPlan(const FiringTask& task, const FiringWish& wish) : task_(task), wish_(wish) {
    limit_ = wish.most_firings > 0 ? wish.most_firings : static_cast<int>(task.layers);
    place(0, 0, {0, 0, 0});
  }
  struct Found {
    int firings = 0, raised = 0;
    std::int64_t softening = 0;
  };
  [[nodiscard]] const std::optional<Found>& best() const { return best_; }

 private:
  [[nodiscard]] std::array<std::int64_t, 3> key(const Found& found) const {
    if (wish_.prefer == Prefer::few_raised)
      return {found.raised, found.firings, found.softening};
    return {found.firings, found.raised, found.softening};
  }
  void place(LayerSet down, LayerSet loose, const Found& so_far) {
    if (best_ && key(*best_) <= key(so_far))
      return;
    if (size_of(down) == task_.layers) {
      best_ = so_far;
      return;
    }
    for (std::size_t layer = 0; layer < task_.layers; ++layer) {
      if (holds(down, layer) || (task_.above[layer] & ~down) != 0 || (task_.fired_before[layer] & ~down) != 0)
        continue;
      if (so_far.firings > 0)
        put(layer, down, loose, so_far, so_far.firings);
      if (so_far.firings < limit_)
        put(layer, down, 0, so_far, so_far.firings + 1);
    }
  }
  void put(std::size_t layer, LayerSet down, LayerSet loose, Found found, int firing) {
    if (task_.fixed[layer] && *task_.fixed[layer] != firing)
      return;
    for (std::size_t other = 0; other < task_.layers; ++other) {
      if (holds(loose, other) &&
          (holds(task_.never_with[layer], other) || holds(task_.fired_before[layer], other)))
        return;
    }
    for (const std::vector<Load>& spot : task_.heavy_spots) {
      double sum = spot[layer].value();
      for (std::size_t other = 0; other < task_.layers; ++other)
        sum += holds(loose, other) ? spot[other].value() : 0;
      if (sum > task_.most_loose_load.value() + 1e-6)
        return;
    }
    found.firings = firing;
    if ((task_.touches[layer] & loose) != 0) {
      if (!wish_.raised_allowed)
        return;
      ++found.raised;
      found.softening += task_.softening[layer];
    }
    place(down | only(layer), loose | only(layer), found);
  }

  const FiringTask& task_;
  const FiringWish& wish_;
  int limit_ = 0;
  std::optional<Found> best_;
};

FiringTask any_task(std::mt19937& random, std::size_t layers) {
  FiringTask task = empty_task(layers);
  const auto one_in = [&](std::mt19937::result_type n) { return random() % n == 0; };
  const std::mt19937::result_type order = 1 + random() % 6, contact = 1 + random() % 4;
  for (std::size_t j = 0; j < layers; ++j) {
    task.softening[j] = static_cast<int>(random() % 50);
    for (std::size_t i = 0; i < layers; ++i) {
      if (i == j)
        continue;
      if (i < j && one_in(order))
        task.above[j] |= only(i);
      if (i < j && one_in(25))
        task.fired_before[j] |= only(i);
      if (one_in(contact))
        task.touches[j] |= only(i);
      if (i < j && one_in(25)) {
        task.never_with[j] |= only(i);
        task.never_with[i] |= only(j);
      }
    }
    if (one_in(20))
      task.fixed[j] = 1 + static_cast<int>(random() % 4);
  }
  for (auto spots = random() % 4; spots > 0; --spots) {
    std::vector<Load>& spot = task.heavy_spots.emplace_back();
    for (std::size_t i = 0; i < layers; ++i)
      spot.emplace_back(0.01 * static_cast<double>(random() % 40));
  }
  return task;
}

FiringWish any_wish(std::mt19937& random) {
  FiringWish wish;
  wish.most_firings = random() % 3 == 0 ? 1 + static_cast<int>(random() % 5) : 0;
  wish.raised_allowed = random() % 3 != 0;
  wish.prefer = random() % 2 == 0 ? Prefer::few_firings : Prefer::few_raised;
  return wish;
}

// An answer keeps every rule, and its figures are what its firings say.
void expect_keeps_the_rules(const FiringTask& task, const FiringWish& wish, const FiringAnswer& answer) {
  LayerSet down = 0;
  int raised = 0, number = 0;
  std::int64_t softening = 0;
  if (wish.most_firings > 0) {
    EXPECT_LE(answer.firings.size(), static_cast<std::size_t>(wish.most_firings));
  }
  for (const FoundFiring& firing : answer.firings) {
    ++number;
    ASSERT_FALSE(firing.layers.empty());
    ASSERT_EQ(firing.layers.size(), firing.raised.size());
    const LayerSet fired = down;
    LayerSet loose = 0;
    for (std::size_t i = 0; i < firing.layers.size(); ++i) {
      const std::size_t layer = firing.layers[i];
      EXPECT_FALSE(holds(down, layer));
      EXPECT_EQ(task.above[layer] & ~down, 0u);
      EXPECT_EQ(task.fired_before[layer] & ~fired, 0u);
      EXPECT_EQ(task.never_with[layer] & loose, 0u);
      EXPECT_EQ(task.fixed[layer].value_or(number), number);
      EXPECT_EQ((task.touches[layer] & loose) != 0, firing.raised[i]);
      raised += firing.raised[i] ? 1 : 0;
      softening += firing.raised[i] ? task.softening[layer] : 0;
      down |= only(layer);
      loose |= only(layer);
    }
    EXPECT_LE(heaviest(task, loose), task.most_loose_load + load_tolerance);
  }
  EXPECT_EQ(down, first_layers(task.layers));
  EXPECT_EQ(answer.raised, raised);
  EXPECT_EQ(answer.softening, softening);
  EXPECT_LE(answer.least, number);
  EXPECT_LE(least_firings(task, wish.raised_allowed), answer.least);
}

TEST(BestFirings, EqualEverythingTried) {
  std::mt19937 random(20261125);
  int possible = 0;
  for (int instance = 0; instance < 2000; ++instance) {
    const FiringTask task = any_task(random, 1 + random() % 8);
    const FiringWish wish = any_wish(random);
    const std::optional<EveryPlan::Found> best = EveryPlan(task, wish).best();
    const std::optional<FiringAnswer> found = best_firings(task, wish);
    ASSERT_EQ(found.has_value(), best.has_value()) << instance;
    if (!found)
      continue;
    ++possible;
    expect_keeps_the_rules(task, wish, *found);
    EXPECT_TRUE(found->proven);
    EXPECT_EQ(found->firings.size(), static_cast<std::size_t>(best->firings)) << instance;
    EXPECT_EQ(found->raised, best->raised) << instance;
    EXPECT_EQ(found->softening, best->softening) << instance;
  }
  EXPECT_GT(possible, 1000);
}

// The search for many layers on few: where it drops nothing it must find the same.
TEST(BoundedFirings, EqualTheExactWhereNothingIsDropped) {
  std::mt19937 random(7);
  for (int instance = 0; instance < 400; ++instance) {
    const FiringTask task = any_task(random, 1 + random() % 7);
    const FiringWish wish = any_wish(random);
    const auto exact = best_firings(task, wish);
    const auto bounded = bounded_firings(task, wish, 1'000'000);
    ASSERT_EQ(bounded.has_value(), exact.has_value()) << instance;
    if (!exact)
      continue;
    expect_keeps_the_rules(task, wish, *bounded);
    EXPECT_TRUE(bounded->proven);
    EXPECT_EQ(bounded->firings.size(), exact->firings.size()) << instance;
    EXPECT_EQ(bounded->raised, exact->raised) << instance;
    EXPECT_EQ(bounded->softening, exact->softening) << instance;
  }
}

TEST(BoundedFirings, NeverClaimWhatIsNotSo) {
  std::mt19937 random(11);
  int proven = 0, not_proven = 0;
  for (int instance = 0; instance < 300; ++instance) {
    const FiringTask task = any_task(random, 4 + random() % 6);
    const FiringWish wish{0, random() % 2 == 0, Prefer::few_firings};
    const auto exact = best_firings(task, wish);
    const auto bounded = bounded_firings(task, wish, 3);
    if (!bounded)
      continue;
    ASSERT_TRUE(exact.has_value());
    expect_keeps_the_rules(task, wish, *bounded);
    EXPECT_LE(bounded->least, static_cast<int>(exact->firings.size()));
    (bounded->proven ? proven : not_proven) += 1;
    if (bounded->proven) {
      EXPECT_EQ(bounded->firings.size(), exact->firings.size());
      EXPECT_EQ(bounded->raised, exact->raised);
    }
  }
  EXPECT_GT(proven, 20);
  EXPECT_GT(not_proven, 20);
}

TEST(BestFirings, OfManyLayersKeepTheRules) {
  std::mt19937 random(3);
  for (const std::size_t layers : {std::size_t{16}, std::size_t{17}, std::size_t{30}, std::size_t{64}}) {
    FiringTask task = any_task(random, layers);
    task.fixed.assign(layers, std::nullopt);
    for (const bool raised : {false, true}) {
      const FiringWish wish{0, raised, Prefer::few_firings};
      const auto found = best_firings(task, wish);
      ASSERT_TRUE(found.has_value()) << layers;
      expect_keeps_the_rules(task, wish, *found);
      EXPECT_TRUE(found->proven || layers > most_layers_exactly);
    }
  }
}

// Openings of one nest, given largest first: nothing is raised when they go smallest first.
TEST(BestFirings, SmallestOpeningFirst) {
  FiringTask task = empty_task(5);
  for (std::size_t small = 0; small < 5; ++small) {
    for (std::size_t large = 0; large < small; ++large)
      task.touches[small] |= only(large);
  }
  const auto found = best_firings(task, {1, true, Prefer::few_firings});
  ASSERT_TRUE(found.has_value());
  EXPECT_EQ(found->raised, 0);
  EXPECT_EQ(found->firings[0].layers, (std::vector<std::size_t>{4, 3, 2, 1, 0}));
}

}  // namespace
}  // namespace powderplan
