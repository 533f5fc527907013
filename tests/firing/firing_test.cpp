#include "firing/firing.h"

#include <algorithm>
#include <optional>

#include "drawn_separation.h"
#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

// Each label on one point of its own.
Separation one_point_each(const Choice& choice, const std::vector<Tones>& labels) {
  return drawn_separation({Millimetres(1), static_cast<int>(labels.size()), 1}, choice, labels,
                          [](int x, int) { return x; });
}

FiringPlan planned(const Separation& separation, const FiringLimits& limits = {}) {
  return plan_firings(make_layers(separation), Sheet{}, GlassConstants{}, limits);
}

FiringLimits limits_of(std::optional<int> firings, double load = 0.75, bool raised = true) {
  FiringLimits limits;
  limits.most_firings = firings;
  limits.most_loose_load = Load(load);
  limits.allow_raised = raised;
  return limits;
}

std::size_t raised_in(const FiringPlan& plan) {
  return static_cast<std::size_t>(
      std::count_if(plan.places.begin(), plan.places.end(), [](const LayerPlace& p) { return p.raised; }));
}

// Two powders, the second lying `beside` the first, wholly over it, or partly.
const Choice two{nest_of(0, {Load(0.1)}), nest_of(1, {Load(0.2)})};
const std::vector<Tones> inside{{0, 0}, {1, 1}, {0, 1}};  // the first lies in the second's opening
const std::vector<Tones> beside{{0, 0}, {1, 0}, {0, 1}};
const std::vector<Tones> partly{{0, 0}, {1, 0}, {1, 1}, {0, 1}};

TEST(PlanFirings, OfNoLayersIsNone) {
  const FiringPlan plan = planned(one_point_each({}, {{}}));
  EXPECT_TRUE(plan.firings.empty());
  EXPECT_TRUE(plan.places.empty());
}

TEST(PlanFirings, ContainedPowderSharesAFiring) {
  const FiringPlan plan = planned(one_point_each(two, inside));
  EXPECT_EQ(plan.firings.size(), 1u);
  EXPECT_EQ(raised_in(plan), 0u);
  EXPECT_EQ(plan.places[0].why, "It lies at the bottom, so it goes first.");
  EXPECT_EQ(plan.places[1].why,
            "All loose powder laid so far lies inside its opening, so it can follow in the same firing.");
}

TEST(PlanFirings, LoosePowderUnderAStencilIsFiredFirst) {
  for (const auto& labels : {beside, partly}) {
    const FiringPlan plan = planned(one_point_each(two, labels));
    EXPECT_EQ(plan.firings.size(), 2u);
    EXPECT_EQ(raised_in(plan), 0u);
    EXPECT_EQ(plan.places[1].firing, 1u);
    EXPECT_EQ(plan.places[1].why,
              "Its stencil would rest on the loose powder of step 1, so that is fired first.");
  }
}

TEST(PlanFirings, AStencilIsRaisedOnlyWhenTheLimitAsksForIt) {
  const FiringPlan plan = planned(one_point_each(two, beside), limits_of(1));
  EXPECT_EQ(plan.firings.size(), 1u);
  EXPECT_FALSE(plan.places[0].raised);
  EXPECT_TRUE(plan.places[1].raised);
  EXPECT_EQ(
      plan.places[1].why,
      "Its stencil would rest on the loose powder of step 1, so it stands on spacers; its edges come out "
      "about 1 mm softer than shown.");
  EXPECT_EQ(raised_in(planned(one_point_each(two, beside), limits_of(2))), 0u);
}

TEST(PlanFirings, WhatIsNoStencilTouchesNothing) {
  const Separation separation = one_point_each(two, beside);
  auto layers = make_layers(separation);
  layers[1].technique = Technique::fade;
  layers[1].open = {};  // no template
  const FiringPlan plan = plan_firings(layers, Sheet{}, GlassConstants{}, {});
  EXPECT_EQ(plan.firings.size(), 1u);
  EXPECT_EQ(raised_in(plan), 0u);
}

// The stencils of one powder never touch their own powder, however many.
TEST(PlanFirings, CumulativeStencilsShareAFiring) {
  const Choice choice{nest_of(0, {Load(0.1), Load(0.1), Load(0.1), Load(0.1)})};
  const FiringPlan plan =
      planned(one_point_each(choice, {{0}, {1}, {2}, {3}, {4}}), limits_of({}, 0.75, false));
  EXPECT_EQ(plan.firings.size(), 1u);
  EXPECT_EQ(plan.firings[0].layers, (std::vector<std::size_t>{0, 1, 2, 3}));
}

TEST(PlanFirings, NoMoreLoosePowderThanTheLimitAnywhere) {
  const FiringPlan within = planned(one_point_each(two, inside), limits_of({}, 0.3));
  EXPECT_EQ(within.firings.size(), 1u) << "0.1 + 0.2 is 0.3, whatever the rounding";
  const FiringPlan above = planned(one_point_each(two, inside), limits_of({}, 0.299));
  EXPECT_EQ(above.firings.size(), 2u);
  EXPECT_EQ(above.places[1].why,
            "With it more than 0.30 g/cm2 would lie loose in one place, so what lies is fired first.");
  // Loads that lie nowhere on top of each other do not add up.
  EXPECT_EQ(planned(one_point_each(two, beside), limits_of(1, 0.2)).firings.size(), 1u);
}

TEST(PlanFirings, HeatOfTheFirings) {
  for (const Finish last : {Finish::tack, Finish::contour, Finish::full}) {
    FiringLimits limits;
    limits.finish = last;
    limits.between = Finish::contour;
    const FiringPlan plan = planned(one_point_each(two, beside), limits);
    ASSERT_EQ(plan.firings.size(), 2u);
    EXPECT_EQ(plan.firings[1].finish, last);
    EXPECT_EQ(plan.firings[0].finish, std::min(last, Finish::contour)) << "no hotter than the last";
    EXPECT_FALSE(plan.firings[0].segments.empty());
    const FinishValues values = finish_values(last, Millimetres(0.1));
    EXPECT_EQ(plan.firings[1].sintering, values.fused);
    EXPECT_EQ(plan.firings[1].texture, values.matte);
  }
}

std::string refusal(const Separation& separation, const FiringLimits& limits) {
  try {
    planned(separation, limits);
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::infeasible);
    return problem.what();
  }
  return "";
}

TEST(PlanFirings, SaysWhichFiringsWouldDo) {
  const Choice three{nest_of(0, {Load(0.1)}), nest_of(1, {Load(0.2)}), nest_of(2, {Load(0.3)})};
  const Separation separation = one_point_each(three, {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}});
  EXPECT_EQ(refusal(separation, limits_of(2, 0.75, false)),
            "--firings: the 3 layers need 3 firings, more than the 2 allowed; allow --firings 3, or fewer "
            "--layers, or stencils raised on spacers (--raised when-needed)");
  EXPECT_EQ(refusal(separation, limits_of(3, 0.75, false)), "");
}

TEST(PlanFirings, SaysWhichFiringsWouldDoUnderALoad) {
  const Choice three{nest_of(0, {Load(0.3)}), nest_of(1, {Load(0.3)}), nest_of(2, {Load(0.3)})};
  const Separation separation = one_point_each(three, {{0, 0, 0}, {1, 1, 1}});
  EXPECT_EQ(refusal(separation, limits_of(1, 0.6)),
            "--firings: the 3 layers need 2 firings, more than the 1 allowed; allow --firings 2, or fewer "
            "--layers, or a larger --load");
  EXPECT_EQ(refusal(separation, limits_of(2, 0.6)), "");
}

TEST(PlanFirings, SaysWhichLoadWouldDo) {
  EXPECT_EQ(refusal(one_point_each(two, inside), limits_of({}, 0.15)),
            "--load: one layer alone lays 0.200 g/cm2, more than the 0.150 allowed in a firing; allow --load "
            "0.200");
  EXPECT_EQ(refusal(one_point_each(two, inside), limits_of({}, 0.2)), "");
}

// Every contiguous split of a sequence, judged point by point.
struct Split {
  std::size_t firings = 0, raised = 0;
};
std::vector<Split> possible_splits(const std::vector<Layer>& layers, Load limit) {
  std::vector<Split> possible;
  for (unsigned cuts = 0; cuts < 1u << (layers.size() - 1); ++cuts) {
    Split split{1, 0};
    bool fits = true;
    std::size_t begin = 0;
    for (std::size_t j = 0; j < layers.size(); ++j) {
      if (j > 0 && (cuts >> (j - 1) & 1) != 0) {
        begin = j;
        ++split.firings;
      }
      bool touches = false;
      for (std::size_t point = 0; point < layers[j].amount.size(); ++point) {
        double loose = 0;
        for (std::size_t i = begin; i <= j; ++i)
          loose += layers[i].amount[point] != 0 ? layers[i].load.value() : 0;
        fits = fits && loose <= limit.value() + 1e-9;
        const bool covered = !layers[j].open.empty() && layers[j].open[point] == 0;
        touches = touches || (covered && loose > 0);
      }
      split.raised += touches ? 1 : 0;
    }
    if (fits)
      possible.push_back(split);
  }
  return possible;
}

TEST(PlanFirings, IsTheBestOfAllContiguousSplits) {
  holds_always(
      [] {
        Choice choice;
        for (int p = *rc::gen::inRange(1, 5); p > 0; --p) {
          Nest nest;
          for (int i = *rc::gen::inRange(1, 3); i > 0; --i)
            nest.steps.push_back({choice.size(), Load(0.001 * *rc::gen::inRange(10, 400))});
          choice.push_back(nest);
        }
        const std::vector<Tones> all = all_labels(choice, 4);
        std::vector<Tones> labels{all[0]};
        for (int i = *rc::gen::inRange(1, 8); i > 0; --i)
          labels.push_back(all[*rc::gen::inRange(std::size_t{1}, all.size())]);
        const Separation separation = one_point_each(choice, labels);
        std::vector<Layer> layers = make_layers(separation);
        for (Layer& layer : layers) {
          if (*rc::gen::inRange(0, 4) == 0) {
            layer.technique = Technique::fade;
            layer.open = {};
          }
        }
        const bool limited = *rc::gen::inRange(0, 3) > 0;
        const FiringLimits limits =
            limits_of(limited ? std::optional(*rc::gen::inRange(1, 6)) : std::nullopt,
                      0.001 * *rc::gen::inRange(50, 800), *rc::gen::inRange(0, 2) == 0);
        const std::size_t most =
            limits.most_firings ? static_cast<std::size_t>(*limits.most_firings) : layers.size();

        constexpr std::size_t none = 1000;
        std::size_t fewest_crisp = none, fewest_raised = none, fewest_of_all = none;
        for (const Split& split : possible_splits(layers, limits.most_loose_load)) {
          if (split.raised == 0)
            fewest_crisp = std::min(fewest_crisp, split.firings);
          if (split.firings <= most)
            fewest_raised = std::min(fewest_raised, split.raised);
          if (split.raised == 0 || limits.allow_raised)
            fewest_of_all = std::min(fewest_of_all, split.firings);
        }
        const auto plan_of = [&](const FiringLimits& l) {
          return plan_firings(layers, Sheet{}, GlassConstants{}, l);
        };
        try {
          const FiringPlan plan = plan_of(limits);
          if (fewest_crisp <= most) {
            RC_ASSERT(plan.firings.size() == fewest_crisp);
            RC_ASSERT(raised_in(plan) == 0u);
          } else {
            RC_ASSERT(limits.allow_raised);
            RC_ASSERT(plan.firings.size() <= most);
            RC_ASSERT(raised_in(plan) == fewest_raised);
          }
          // Each layer once, in order, where its place says.
          RC_ASSERT(plan.places.size() == layers.size());
          std::size_t next = 0;
          for (std::size_t f = 0; f < plan.firings.size(); ++f) {
            RC_ASSERT(!plan.firings[f].layers.empty());
            for (const std::size_t layer : plan.firings[f].layers) {
              RC_ASSERT(layer == next++);
              RC_ASSERT(plan.places[layer].firing == f);
              RC_ASSERT(!plan.places[layer].why.empty());
            }
          }
          RC_ASSERT(next == layers.size());
        } catch (const Problem& problem) {
          RC_ASSERT(fewest_crisp > most);
          RC_ASSERT(!limits.allow_raised || fewest_raised == none);
          // The smallest change does it.
          FiringLimits relaxed = limits;
          if (problem.place() == "--load") {
            double heaviest = 0;
            for (const Layer& layer : layers)
              heaviest = std::max(heaviest, layer.load.value());
            RC_ASSERT(heaviest > limits.most_loose_load.value());
            relaxed.most_loose_load = Load(heaviest);
            relaxed.most_firings.reset();
          } else {
            RC_ASSERT(problem.place() == "--firings");
            relaxed.most_firings = static_cast<int>(fewest_of_all);
            RC_ASSERT(problem.remedy().find("--firings " + std::to_string(fewest_of_all)) !=
                      std::string::npos);
          }
          plan_of(relaxed);
        }
      },
      400);
}

TEST(LooseBelow, EarlierLayersOfTheSameFiringUnlessRaised) {
  FiringPlan plan;
  plan.firings.resize(2);
  plan.firings[0].layers = {0, 1, 2};
  plan.firings[1].layers = {3, 4};
  plan.places.resize(5);
  plan.places[1].raised = true;
  EXPECT_EQ(loose_below_flat_templates(plan),
            (std::vector<std::vector<std::size_t>>{{}, {}, {0, 1}, {}, {3}}));
}

}  // namespace
}  // namespace powderplan
