// Which number of firings a plan goes on with, on trials made up for it; and the trials of a small picture.
#include "plan/firing_trials.h"

#include <cmath>

#include "parallel.h"
#include "problem.h"
#include "separation/choice_search.h"
#include "shelf.h"

namespace powderplan {
namespace {

FiringTrial trial(int firings, double error, int raised = 0) {
  FiringTrial made;
  made.firings = firings;
  made.raised = raised;
  made.nests = static_cast<std::size_t>(firings);
  made.mean_de00 = made.softened_de00 = error;
  return made;
}

FiringLimits limits_of(std::optional<int> most, RaisedUse raised = RaisedUse::when_needed) {
  FiringLimits limits;
  limits.most_firings = most;
  limits.raised = raised;
  return limits;
}

TEST(BestTrial, HasTheLeastErrorWithinTheFirings) {
  const std::vector<FiringTrial> trials{trial(1, 8), trial(2, 5), trial(3, 4), trial(1, 6, 2),
                                        trial(2, 3, 1)};
  EXPECT_EQ(best_trial(trials, 1, false), 0u);
  EXPECT_EQ(best_trial(trials, 2, false), 1u);
  EXPECT_EQ(best_trial(trials, 9, false), 2u);
  EXPECT_EQ(best_trial(trials, 1, true), 3u);
  EXPECT_EQ(best_trial(trials, 2, true), 4u);
  EXPECT_EQ(best_trial(trials, 0, false), std::nullopt);
  EXPECT_EQ(best_trial({}, 3, false), std::nullopt);
  EXPECT_EQ(best_trial({trial(2, 5), trial(1, 5)}, 2, false), 0u) << "the first of equals";
}

TEST(BestTrial, CountsTheSoftenedEdges) {
  std::vector<FiringTrial> trials{trial(1, 4, 1), trial(1, 5, 1)};
  trials[0].softened_de00 = 6;
  EXPECT_EQ(best_trial(trials, 1, true), 1u);
}

TEST(TrialToTake, UnderACapTheLeastErrorWithinIt) {
  const std::vector<FiringTrial> trials{trial(1, 8), trial(2, 5), trial(3, 3)};
  EXPECT_EQ(trial_to_take(trials, limits_of(1)), 0u);
  EXPECT_EQ(trial_to_take(trials, limits_of(2)), 1u);
  EXPECT_EQ(trial_to_take(trials, limits_of(3)), 2u);
  EXPECT_EQ(trial_to_take(trials, limits_of(9)), 2u);
  EXPECT_EQ(trial_to_take({trial(3, 1)}, limits_of(2)), std::nullopt);
  EXPECT_EQ(trial_to_take({}, limits_of(2)), std::nullopt);
}

TEST(TrialToTake, UnderACapFewerFiringsWhereThatCostsLittle) {
  const double allowed = 1 + price_of_firing_allowed;
  EXPECT_EQ(trial_to_take({trial(1, 5 * allowed * 0.9999), trial(2, 5)}, limits_of(2)), 0u);
  EXPECT_EQ(trial_to_take({trial(1, 5 * allowed * 1.0001), trial(2, 5)}, limits_of(2)), 1u);
  // Two firings less may cost twice as much.
  const double twice = 1 + 2 * price_of_firing_allowed;
  EXPECT_EQ(trial_to_take({trial(1, 5 * twice * 0.9999), trial(3, 5)}, limits_of(3)), 0u);
  EXPECT_EQ(trial_to_take({trial(1, 5 * twice * 1.0001), trial(3, 5)}, limits_of(3)), 1u);
  EXPECT_EQ(trial_to_take({trial(2, 5), trial(1, 5)}, limits_of(2)), 1u) << "for nothing always";
}

TEST(TrialToTake, UnderACapSpacersMustGainEnough) {
  const double enough = 1 - least_gain_of_raising;
  EXPECT_EQ(trial_to_take({trial(1, 5), trial(1, 5 * enough * 0.9999, 1)}, limits_of(1)), 1u);
  EXPECT_EQ(trial_to_take({trial(1, 5), trial(1, 5 * enough * 1.0001, 1)}, limits_of(1)), 0u);
  EXPECT_EQ(trial_to_take({trial(2, 5), trial(1, 9, 1)}, limits_of(1)), 1u) << "nothing else keeps the cap";
  EXPECT_EQ(trial_to_take({trial(1, 5), trial(2, 1, 1)}, limits_of(1)), 0u) << "beyond the cap";
}

TEST(TrialToTake, NeverOnSpacers) {
  const FiringLimits never = limits_of(1, RaisedUse::never);
  EXPECT_EQ(trial_to_take({trial(1, 9), trial(1, 1, 1)}, never), 0u);
  EXPECT_EQ(trial_to_take({trial(1, 9), trial(2, 1)}, never), 0u);
  EXPECT_EQ(trial_to_take({trial(1, 9), trial(2, 1)}, limits_of(std::nullopt, RaisedUse::never)), 1u);
}

TEST(TrialToTake, NeverOnSpacersWhateverTheCap) {
  for (const std::optional<int> most : {std::optional<int>(1), std::optional<int>()}) {
    FiringLimits never = limits_of(most, RaisedUse::never);
    never.rather_at_most = 1;
    EXPECT_EQ(trial_to_take({trial(2, 9), trial(1, 1, 1)}, never), std::nullopt);
  }
}

TEST(TrialToTake, WithoutACapAFiringIsWorthAShareOfTheError) {
  FiringLimits limits = limits_of(std::nullopt);
  const double worth = 1 + price_of_firing;
  EXPECT_EQ(trial_to_take({trial(1, 5 * worth * 0.9999), trial(2, 5)}, limits), 0u);
  EXPECT_EQ(trial_to_take({trial(1, 5 * worth * 1.0001), trial(2, 5)}, limits), 1u);
  EXPECT_EQ(trial_to_take({trial(1, 5 * (1 + 2 * price_of_firing) * 0.9999), trial(2, 5 * 1.06), trial(3, 5)},
                          limits),
            0u);
  EXPECT_EQ(trial_to_take({trial(5, 1)}, limits), 0u) << "as many as there are";
  // No more than the program plans of itself.
  limits.rather_at_most = 2;
  EXPECT_EQ(trial_to_take({trial(1, 9), trial(2, 7), trial(3, 1)}, limits), 1u);
  // Spacers only where nothing else is within that.
  EXPECT_EQ(trial_to_take({trial(2, 9), trial(1, 1, 1)}, limits), 0u);
  EXPECT_EQ(trial_to_take({trial(3, 9), trial(1, 1, 1)}, limits), 1u);
}

TEST(TrialToTake, FreelyTheFewestFirings) {
  const FiringLimits freely = limits_of(std::nullopt, RaisedUse::freely);
  EXPECT_EQ(trial_to_take({trial(2, 1), trial(1, 9, 3)}, freely), 1u);
  EXPECT_EQ(trial_to_take({trial(1, 5), trial(1, 4, 1), trial(2, 1)}, freely), 1u);
  EXPECT_EQ(trial_to_take({trial(1, 5, 1), trial(1, 5)}, freely), 1u) << "of equals the one without spacers";
  EXPECT_EQ(trial_to_take({trial(1, 5), trial(1, 6, 1)}, freely), 0u);
  EXPECT_EQ(trial_to_take({trial(3, 5)}, limits_of(2, RaisedUse::freely)), std::nullopt);
}

// Three grounds beside each other and a disc across two of them: more than one nest serves it better.
Target grounds_and_disc() {
  constexpr int width = 48, height = 36;
  Image<PackedLab> picture(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const bool disc = std::hypot(x - 30, y - 18) < 10;
      picture.at(x, y) = disc     ? LabPixel{36, 45, 25}
                         : x < 16 ? LabPixel{85, 0, 4}
                         : x < 32 ? LabPixel{20, 5, -25}
                                  : LabPixel{70, 4, 50};
    }
  }
  Target target;
  target.grid = {Millimetres(1), width, height};
  target.picture = target.wanted = picture;
  target.bare = Image<std::uint8_t>(width, height);
  return target;
}

SeparationRules rules_of(std::size_t layers) {
  SeparationRules rules;
  rules.limits.most_layers = layers;
  rules.limits.usable = {white, black, red, blue, yellow};
  rules.smallest = Millimetres(2);
  rules.fades.ways.assign(small_shelf().powders.size(), {true, false, false});
  return rules;
}

TrialsOfFirings tried(const FiringLimits& firing, const SeparationRules& rules,
                      const std::function<void(double)>& progress = {}) {
  const KilnLimits kiln{small_shelf().sheets[0], small_shelf(), firing};
  return try_firings(small_painter(), grounds_and_disc(), rules, {}, kiln, KeptResults(PlanRequest{}, {}), "",
                     progress);
}

void expect_sound(const TrialsOfFirings& found, const FiringLimits& firing, const SeparationRules& rules) {
  for (std::size_t n = 0; n < found.choices.size(); ++n) {
    ChoiceLimits with = rules.limits;
    with.most_nests = n + 1;
    EXPECT_TRUE(allowed(found.choices[n], with)) << n;
    EXPECT_LE(found.choices[n].size(), n + 1);
    EXPECT_LE(layer_count(found.choices[n]), rules.limits.most_layers);
  }
  for (const FiringTrial& trial : found.trials) {
    EXPECT_GE(trial.nests, 1u);
    EXPECT_LE(trial.nests, found.choices.size());
    EXPECT_GE(trial.firings, 1);
    if (trial.raised == 0) {
      EXPECT_EQ(trial.softened_de00, trial.mean_de00);
    } else {
      EXPECT_NE(trial.softened_de00, trial.mean_de00);
      EXPECT_LE(trial.firings, firing.most_firings.value_or(1)) << "spacers are to save firings";
      EXPECT_NE(firing.raised, RaisedUse::never);
    }
  }
}

TEST(TryFirings, NestsUpToTheFiringsAllowedAndTwoMoreOnSpacers) {
  const SeparationRules rules = rules_of(4);
  for (const int most : {1, 2}) {
    const FiringLimits never = limits_of(most, RaisedUse::never);
    const TrialsOfFirings flat = tried(never, rules);
    expect_sound(flat, never, rules);
    EXPECT_EQ(flat.choices.size(), static_cast<std::size_t>(most));
    const FiringLimits needed = limits_of(most);
    const TrialsOfFirings raised = tried(needed, rules);
    expect_sound(raised, needed, rules);
    EXPECT_EQ(raised.choices.size(), static_cast<std::size_t>(most) + 2);
    const auto take = trial_to_take(raised.trials, needed);
    ASSERT_TRUE(take.has_value());
    EXPECT_LE(raised.trials[*take].firings, most);
    EXPECT_TRUE(best_trial(flat.trials, most, false).has_value());
  }
}

TEST(TryFirings, OneNestIsOneFiringAndMoreServeThePictureBetter) {
  FiringLimits firing = limits_of(std::nullopt);
  firing.rather_at_most = 3;
  const SeparationRules rules = rules_of(4);
  const TrialsOfFirings found = tried(firing, rules);
  expect_sound(found, firing, rules);
  EXPECT_EQ(found.choices.size(), 3u);
  ASSERT_EQ(found.trials.size(), 3u) << "no spacers without a cap";
  for (std::size_t n = 0; n < 3; ++n) {
    EXPECT_EQ(found.trials[n].nests, n + 1);
    EXPECT_EQ(found.trials[n].raised, 0);
  }
  EXPECT_EQ(found.trials[0].firings, 1);
  EXPECT_LT(found.trials[1].mean_de00, 0.8 * found.trials[0].mean_de00);
}

TEST(TryFirings, FreelyEverythingInOneFiring) {
  FiringLimits freely = limits_of(std::nullopt, RaisedUse::freely);
  freely.rather_at_most = 2;
  freely.most_loose_load = Load(3);  // so that it is never the weight that asks for a second firing
  const SeparationRules rules = rules_of(3);
  const TrialsOfFirings found = tried(freely, rules);
  expect_sound(found, freely, rules);
  const auto take = trial_to_take(found.trials, freely);
  ASSERT_TRUE(take.has_value());
  EXPECT_EQ(found.trials[*take].firings, 1);
  EXPECT_TRUE(best_trial(found.trials, 1, true).has_value());
}

// Two powders that must be there and are too heavy for one nest: one nest has no room for them.
TEST(TryFirings, OnlyNestsWithRoomForThePowdersThatMustBeThere) {
  SeparationRules rules = rules_of(3);
  rules.limits.use = {white, blue};
  rules.limits.least_load = Load(0.1);
  rules.limits.most_load = Load(0.15);
  const FiringLimits firing = limits_of(2, RaisedUse::never);
  const TrialsOfFirings found = tried(firing, rules);
  EXPECT_EQ(found.choices.size(), 2u);
  ASSERT_EQ(found.trials.size(), 1u);
  EXPECT_EQ(found.trials[0].nests, 2u);
  EXPECT_TRUE(tried(limits_of(1, RaisedUse::never), rules).trials.empty());
}

TEST(TryFirings, AreTheSameForAnyNumberOfThreads) {
  SeparationRules rules = rules_of(3);
  rules.fades.ways.clear();  // fades too
  const auto by = [&](unsigned threads) {
    const ThreadCount cap(threads);
    return tried(limits_of(1), rules);
  };
  const TrialsOfFirings alone = by(1), together = by(2);
  EXPECT_EQ(alone.choices, together.choices);
  ASSERT_EQ(alone.trials.size(), together.trials.size());
  for (std::size_t i = 0; i < alone.trials.size(); ++i) {
    const FiringTrial &a = alone.trials[i], &b = together.trials[i];
    EXPECT_EQ(a.firings, b.firings);
    EXPECT_EQ(a.raised, b.raised);
    EXPECT_EQ(a.nests, b.nests);
    EXPECT_EQ(a.mean_de00, b.mean_de00);
    EXPECT_EQ(a.softened_de00, b.softened_de00);
  }
}

TEST(TryFirings, ReportGrowingShares) {
  std::vector<double> shares;
  tried(limits_of(2, RaisedUse::never), rules_of(2), [&](double share) { shares.push_back(share); });
  EXPECT_EQ(shares, (std::vector<double>{0, 0.5}));
}

}  // namespace
}  // namespace powderplan
