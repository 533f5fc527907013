#include "report/firing_choices.h"

#include <gtest/gtest.h>

#include "property.h"

namespace powderplan {
namespace {

FiringTrial flat(int firings, double error) {
  return {firings, 0, 1, error, error};
}
FiringTrial on_spacers(int firings, int raised, double error, double softened) {
  return {firings, raised, 1, error, softened};
}

FiringPlan plan_of(int firings, std::size_t raised, int least, bool proven = true) {
  FiringPlan plan;
  plan.firings.resize(static_cast<std::size_t>(firings));
  plan.places.resize(raised + 2);
  for (std::size_t i = 0; i < raised; ++i)
    plan.places[i].raised = true;
  plan.least_firings = least;
  plan.proven = proven;
  return plan;
}

std::vector<std::pair<int, int>> numbers(const std::vector<FiringTrial>& choices) {
  std::vector<std::pair<int, int>> out;
  for (const FiringTrial& choice : choices)
    out.emplace_back(choice.firings, choice.raised);
  return out;
}

using Numbers = std::vector<std::pair<int, int>>;

// By nests, as they are tried: the second trial of two firings is the better one, three firings are no
// better than that, and five stencils on spacers in one firing are poorer than none.
const std::vector<FiringTrial> tried{
    flat(1, 3.4),  on_spacers(1, 2, 2.9, 3.1),  flat(2, 3.0), on_spacers(1, 5, 3.3, 3.6), flat(2, 2.9),
    flat(3, 2.95), on_spacers(2, 1, 2.9, 3.05), flat(4, 2.5)};

TEST(FiringChoices, AreTheBestOfEachNumberWhereTheyAreNew) {
  const std::vector<FiringTrial> choices = firing_choices(tried);
  EXPECT_EQ(numbers(choices), (Numbers{{1, 0}, {1, 2}, {2, 0}, {2, 1}, {4, 0}}));
  EXPECT_EQ(choices[2].mean_de00, 2.9);
  EXPECT_TRUE(firing_choices({}).empty());
}

TEST(FiringChoices, NoTrialOfTheSameKindIsBetterInNoMoreFirings) {
  rc::check([] {
    std::vector<FiringTrial> trials;
    for (int i = *rc::gen::inRange(0, 12); i > 0; --i) {
      const int raised = *rc::gen::inRange(0, 3);
      // Few different errors, so that there are equals.
      const double error = *rc::gen::inRange(1, 6);
      trials.push_back({*rc::gen::inRange(1, 6), raised, 1, error, error + raised});
    }
    const std::vector<FiringTrial> choices = firing_choices(trials);
    RC_ASSERT(choices.empty() == trials.empty());
    const auto covered = [](const FiringTrial& trial, const FiringTrial& by) {
      return by.firings <= trial.firings && (by.raised > 0) == (trial.raised > 0) &&
             by.softened_de00 <= trial.softened_de00;
    };
    for (const FiringTrial& trial : trials)
      RC_ASSERT(std::any_of(choices.begin(), choices.end(),
                            [&](const FiringTrial& choice) { return covered(trial, choice); }));
    for (std::size_t i = 0; i < choices.size(); ++i)
      for (std::size_t k = 0; k < choices.size(); ++k)
        RC_ASSERT(i == k || !covered(choices[i], choices[k]));
  });
}

TEST(FiringChoices, SpacersAreToldOfWhereTheyGainOrAreUsed) {
  EXPECT_EQ(numbers(choices_to_tell(tried, plan_of(2, 0, 2), 9)), (Numbers{{1, 0}, {1, 2}, {2, 0}, {4, 0}}));
  EXPECT_EQ(numbers(choices_to_tell(tried, plan_of(2, 3, 2), 9)),
            (Numbers{{1, 0}, {1, 2}, {2, 0}, {2, 1}, {4, 0}}));
}

TEST(FiringChoices, WhatIsFarFromThePlanIsLeftOut) {
  std::vector<FiringTrial> trials;
  for (int firings = 1; firings <= 6; ++firings)
    trials.push_back(flat(firings, 4.0 - 0.1 * firings));
  EXPECT_EQ(numbers(choices_to_tell(trials, plan_of(3, 0, 3), 5)),
            (Numbers{{1, 0}, {2, 0}, {3, 0}, {4, 0}, {5, 0}}));
  EXPECT_EQ(numbers(choices_to_tell(trials, plan_of(3, 0, 3), 2)), (Numbers{{2, 0}, {3, 0}}));
  EXPECT_EQ(numbers(choices_to_tell(trials, plan_of(6, 0, 6), 5)),
            (Numbers{{2, 0}, {3, 0}, {4, 0}, {5, 0}, {6, 0}}));
}

TEST(FiringChoices, ThePlanIsFoundAmongThem) {
  const std::vector<FiringTrial> choices = firing_choices(tried);
  EXPECT_EQ(choice_of_plan(choices, plan_of(1, 0, 1)), 0u);
  EXPECT_EQ(choice_of_plan(choices, plan_of(1, 4, 1)), 1u);  // the fine grid may need more of them
  EXPECT_EQ(choice_of_plan(choices, plan_of(2, 1, 2)), 3u);
  EXPECT_EQ(choice_of_plan(choices, plan_of(3, 0, 3)), std::nullopt);
  EXPECT_EQ(choice_of_plan(choices, plan_of(4, 1, 4)), std::nullopt);
}

TEST(FiringChoices, CostsInWords) {
  EXPECT_EQ(costs_in_words({}), "");
  EXPECT_EQ(costs_in_words({flat(1, 3.4), flat(2, 2.9)}),
            "colours: 1 firing 3.4, 2 firings 2.9 (mean CIEDE2000, about)");
  EXPECT_EQ(costs_in_words(tried),
            "colours: 1 firing 3.4, 1 firing with 2 stencils on spacers 3.1, 2 firings 2.9, 4 firings 2.5 "
            "(mean CIEDE2000, about)");
  EXPECT_EQ(costs_in_words({on_spacers(2, 1, 3.0, 3.2)}),
            "colours: 2 firings with 1 stencil on spacers 3.2 (mean CIEDE2000, about)");
}

TEST(FiringChoices, HowFarOffInWords) {
  EXPECT_EQ(farther_off(flat(1, 3.36), flat(2, 3.0)), "12 % farther off");
  EXPECT_EQ(farther_off(flat(3, 2.4), flat(2, 3.0)), "20 % closer");
  EXPECT_EQ(farther_off(flat(3, 3.014), flat(2, 3.0)), "just as close");
  EXPECT_EQ(farther_off(on_spacers(1, 2, 3.0, 3.3), flat(2, 3.0)), "10 % farther off");
  EXPECT_EQ(farther_off(flat(1, 0.2), flat(2, 0)), "farther off");
  EXPECT_EQ(farther_off(flat(1, 0), flat(2, 0)), "just as close");
}

TEST(FiringChoices, WhetherFewerFiringsWouldDo) {
  const RaisedUse needed = RaisedUse::when_needed;
  EXPECT_EQ(fewest_in_words({}, needed), "");
  EXPECT_EQ(fewest_in_words(plan_of(1, 0, 1), needed), "");
  EXPECT_EQ(fewest_in_words(plan_of(3, 0, 3), needed),
            "no plan of these layers has fewer, with every stencil flat on the glass");
  EXPECT_EQ(fewest_in_words(plan_of(3, 0, 3), RaisedUse::freely), "no plan of these layers has fewer");
  EXPECT_EQ(fewest_in_words(plan_of(2, 1, 2), needed), "no plan of these layers has fewer");
  EXPECT_EQ(fewest_in_words(plan_of(2, 1, 2, false), needed),
            "no plan of these layers has fewer; perhaps fewer stencils on spacers would do");
  EXPECT_EQ(fewest_in_words(plan_of(1, 1, 1, false), needed), "perhaps fewer stencils on spacers would do");
  EXPECT_EQ(fewest_in_words(plan_of(3, 2, 1), needed),
            "fewer would take more stencils on spacers; at least 1 is needed");
  EXPECT_EQ(fewest_in_words(plan_of(4, 2, 2), needed),
            "fewer would take more stencils on spacers; at least 2 are needed");
  EXPECT_EQ(fewest_in_words(plan_of(5, 0, 3, false), needed),
            "these layers need at least 3; whether fewer than 5 would do is not settled");
}

}  // namespace
}  // namespace powderplan
