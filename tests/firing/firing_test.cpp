#include "firing/firing.h"

#include <algorithm>
#include <cstdio>
#include <optional>

#include "drawn_separation.h"
#include "masks.h"
#include "problem.h"
#include "property.h"
#include "shelf.h"

namespace powderplan {
namespace {

// Each label on one point of its own.
Separation one_point_each(const Choice& choice, const std::vector<Tones>& labels) {
  return drawn_separation({Millimetres(1), static_cast<int>(labels.size()), 1}, choice, labels,
                          [](int x, int) { return x; });
}

FiringPlan planned(const Separation& separation, const FiringLimits& limits = {}) {
  return plan_firings(make_layers(separation), Sheet{}, small_shelf(), limits);
}

FiringLimits limits_of(std::optional<int> firings, double load = 0.75, bool raised = true) {
  FiringLimits limits;
  limits.most_firings = firings;
  limits.most_loose_load = Load(load);
  limits.raised = raised ? RaisedUse::when_needed : RaisedUse::never;
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
  const FiringPlan plan = plan_firings(layers, Sheet{}, small_shelf(), {});
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
    EXPECT_EQ(plan.firings[1].flow, flow_of(plan.firings[1].segments, ViscosityCurve(GlassConstants{})));
    EXPECT_EQ(finish_reached(plan.firings[1].flow, limits.reference_grain), last);
    const FinishValues values = fired_values(plan.firings[1].flow, limits.reference_grain);
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
            "--firings: the 3 layers need 3 firings, more than the 2 allowed; allow --firings 3, or stencils "
            "raised "
            "on spacers (--raised when-needed), or fewer --layers");
  EXPECT_EQ(refusal(separation, limits_of(3, 0.75, false)), "");
}

TEST(PlanFirings, SaysWhichFiringsWouldDoUnderALoad) {
  const Choice three{nest_of(0, {Load(0.3)}), nest_of(1, {Load(0.3)}), nest_of(2, {Load(0.3)})};
  const Separation separation = one_point_each(three, {{0, 0, 0}, {1, 1, 1}});
  EXPECT_EQ(refusal(separation, limits_of(1, 0.6)),
            "--firings: the 3 layers need 2 firings, more than the 1 allowed; allow --firings 2, or --load "
            "0.900, or fewer --layers");
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
        const bool covered = !layers[j].open.empty() && !is_in(layers[j].open, point);
        touches = touches || (covered && loose > 0);
      }
      split.raised += touches ? 1 : 0;
    }
    if (fits)
      possible.push_back(split);
  }
  return possible;
}

// Judged point by point on the layers' pictures.
void rc_assert_keeps_the_rules(const FiringPlan& plan, const std::vector<Layer>& layers,
                               const FiringLimits& limits) {
  RC_ASSERT(plan.places.size() == layers.size());
  std::vector<std::size_t> order;
  for (std::size_t f = 0; f < plan.firings.size(); ++f) {
    RC_ASSERT(!plan.firings[f].layers.empty());
    RC_ASSERT(!plan.firings[f].why.empty());
    for (std::size_t at = 0; at < plan.firings[f].layers.size(); ++at) {
      const std::size_t layer = plan.firings[f].layers[at];
      RC_ASSERT(plan.places[layer].firing == f);
      RC_ASSERT(!plan.places[layer].why.empty());
      bool touches = false;
      for (std::size_t point = 0; point < layers[layer].amount.size(); ++point) {
        double loose = 0;
        for (std::size_t before = 0; before < at; ++before) {
          const Layer& lies = layers[plan.firings[f].layers[before]];
          loose += lies.amount[point] != 0 ? lies.load.value() : 0;
        }
        touches = touches || (loose > 0 && !layers[layer].open.empty() && !is_in(layers[layer].open, point));
        loose += layers[layer].amount[point] != 0 ? layers[layer].load.value() : 0;
        RC_ASSERT(loose <= limits.most_loose_load.value() + 1e-6);
      }
      RC_ASSERT(plan.places[layer].raised == touches);
      order.push_back(layer);
    }
  }
  RC_ASSERT(order.size() == layers.size());
  // What lies above is put down later; layers of one powder may change places.
  for (std::size_t early = 0; early < order.size(); ++early) {
    for (std::size_t late = early + 1; late < order.size(); ++late) {
      const Layer &first = layers[order[early]], &second = layers[order[late]];
      if (order[early] < order[late] || first.powder == second.powder)
        continue;
      for (std::size_t point = 0; point < first.amount.size(); ++point)
        RC_ASSERT(first.amount[point] == 0 || second.amount[point] == 0);
    }
  }
}

TEST(PlanFirings, KeepTheRulesAndAreNoWorseThanAnyContiguousSplit) {
  holds_always(
      [] {
        Choice choice;
        for (int p = *rc::gen::inRange(1, 5); p > 0; --p) {
          Nest nest;
          for (int i = *rc::gen::inRange(1, 3); i > 0; --i)
            nest.steps.push_back({*rc::gen::inRange(std::size_t{0}, std::size_t{4}),
                                  Load(0.001 * *rc::gen::inRange(10, 400))});
          choice.push_back(nest);
        }
        const std::vector<Tones> all = all_labels(choice, 4);
        std::vector<Tones> labels{all[0]};
        for (int i = *rc::gen::inRange(1, 8); i > 0; --i)
          labels.push_back(all[*rc::gen::inRange(std::size_t{1}, all.size())]);
        std::vector<Layer> layers = make_layers(one_point_each(choice, labels));
        for (Layer& layer : layers) {
          if (*rc::gen::inRange(0, 4) == 0) {
            layer.technique = Technique::fade;
            layer.open = {};
          }
        }
        const bool limited = *rc::gen::inRange(0, 3) > 0;
        FiringLimits limits = limits_of(limited ? std::optional(*rc::gen::inRange(1, 6)) : std::nullopt,
                                        0.001 * *rc::gen::inRange(50, 800));
        limits.raised = *rc::gen::element(RaisedUse::never, RaisedUse::when_needed, RaisedUse::freely);
        const std::size_t most =
            limits.most_firings ? static_cast<std::size_t>(*limits.most_firings) : layers.size();

        constexpr std::size_t none = 1000;
        std::size_t fewest_crisp = none, fewest_raised = none, fewest_of_all = none;
        for (const Split& split : possible_splits(layers, limits.most_loose_load)) {
          if (split.raised == 0)
            fewest_crisp = std::min(fewest_crisp, split.firings);
          if (split.firings <= most)
            fewest_raised = std::min(fewest_raised, split.raised);
          fewest_of_all = std::min(fewest_of_all, split.firings);
        }
        const auto plan_of = [&](const FiringLimits& l) {
          return plan_firings(layers, Sheet{}, small_shelf(), l);
        };
        try {
          const FiringPlan plan = plan_of(limits);
          rc_assert_keeps_the_rules(plan, layers, limits);
          RC_ASSERT(plan.proven);
          RC_ASSERT(plan.firings.size() <= most);
          if (limits.raised == RaisedUse::freely)
            RC_ASSERT(plan.firings.size() <= fewest_of_all);
          else if (raised_in(plan) == 0)
            RC_ASSERT(plan.firings.size() <= fewest_crisp || fewest_crisp > most);
          else
            RC_ASSERT(raised_in(plan) <= fewest_raised && limits.raised != RaisedUse::never);
        } catch (const Problem& problem) {
          RC_ASSERT(fewest_crisp > most);
          RC_ASSERT(limits.raised == RaisedUse::never || fewest_raised == none);
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
            int firings = 0;
            // NOLINTNEXTLINE(cert-err34-c): a number of firings, of our own message
            RC_ASSERT(std::sscanf(problem.remedy().c_str(), "allow --firings %d", &firings) == 1);
            relaxed.most_firings = firings;
          }
          rc_assert_keeps_the_rules(plan_of(relaxed), layers, relaxed);
        }
      },
      400);
}

FiringPlan planned(const std::vector<Layer>& layers, const FiringLimits& limits) {
  return plan_firings(layers, Sheet{}, small_shelf(), limits);
}

TEST(PlanFirings, LayersOfOnePowderGoSmallestFirstWhateverTheirPlace) {
  // Given largest first.
  const Choice one{nest_of(0, {Load(0.1)}), nest_of(0, {Load(0.2)})};
  const auto layers = make_layers(one_point_each(one, {{0, 0}, {1, 0}, {1, 1}}));
  const FiringPlan plan = planned(layers, limits_of({}, 0.75, false));
  ASSERT_EQ(plan.firings.size(), 1u);
  EXPECT_EQ(plan.firings[0].layers, (std::vector<std::size_t>{1, 0}));
}

TEST(PlanFirings, AFixedPowderIsInItsFiring) {
  const auto layers = make_layers(one_point_each(two, beside));
  FiringLimits limits;
  limits.fixed = {{0, 2}};
  const FiringPlan plan = planned(layers, limits);
  ASSERT_EQ(plan.firings.size(), 2u);
  EXPECT_EQ(plan.places[0].firing, 1u);
  EXPECT_EQ(plan.places[1].firing, 0u);
  EXPECT_EQ(plan.places[0].why, "You asked for firing 2.");
}

TEST(PlanFirings, NamesTwoFixedPowdersThatContradictEachOther) {
  FiringLimits limits;
  limits.fixed = {{0, 2}, {1, 1}};
  EXPECT_EQ(
      refusal(one_point_each(two, partly), limits),
      "--in-firing: white is fixed to firing 2 and black to firing 1, but white lies below and must be down "
      "first; give white a firing no later than 1");
  EXPECT_EQ(refusal(one_point_each(two, beside), limits), "");
  limits.fixed = {{0, 1}, {1, 1}};
  limits.most_loose_load = Load(0.25);
  EXPECT_EQ(
      refusal(one_point_each(two, partly), limits),
      "--in-firing: white and black are both fixed to firing 1, but together they lay 0.300 g/cm2, more "
      "than the 0.250 allowed; fix only one of them");
  limits.most_loose_load = full_load;
  limits.apart = {{1, 0}};
  EXPECT_EQ(refusal(one_point_each(two, partly), limits),
            "--in-firing: white and black are both fixed to firing 1, but they react and must not lie loose "
            "together; fix only one of them");
}

// What is named is enough on its own, whatever else is fixed to the same firing.
TEST(PlanFirings, NamesTheOneFixedPowderThatStandsInTheWay) {
  const Choice three{nest_of(0, {Load(0.1)}), nest_of(1, {Load(0.2)}), nest_of(2, {Load(0.3)})};
  const Separation separation = one_point_each(three, {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}});
  FiringLimits limits = limits_of(2, 0.75, false);
  limits.fixed = {{0, 3}, {1, 3}};
  limits.most_firings.reset();
  EXPECT_EQ(
      refusal(separation, limits),
      "--in-firing: no order of the 3 layers keeps what is asked of their firings; allow what is fixed "
      "to firing 3 (white) to lie in another, or what is fixed to firing 3 (black) to lie in another, or "
      "fewer --layers");
  limits.fixed = {{0, 3}};
  EXPECT_EQ(refusal(separation, limits), "");
  limits.fixed = {{1, 3}};
  EXPECT_EQ(refusal(separation, limits), "");
}

TEST(PlanFirings, WhatReactsLiesNotLooseTogetherWhereItTouches) {
  FiringLimits limits;
  limits.apart = {{0, 1}};
  const FiringPlan plan = planned(make_layers(one_point_each(two, inside)), limits);
  EXPECT_EQ(plan.firings.size(), 2u);
  EXPECT_EQ(plan.places[1].why,
            "It reacts with step 1 and must not lie loose with it, so that is fired first.");
  // With two points of bare sheet between them they may share.
  const Separation far =
      drawn_separation({Millimetres(1), 4, 1}, two, {{0, 0}, {1, 0}, {0, 1}}, [](int x, int) {
        return x == 0 ? 1 : x == 3 ? 2 : 0;
      });
  auto layers = make_layers(far);
  layers[1].open = {};
  EXPECT_EQ(planned(layers, limits).firings.size(), 1u);
}

TEST(PlanFirings, TextureToStayComesAfterTheHotterFirings) {
  FiringLimits limits;
  limits.other = {{1, Finish::tack}};
  const FiringPlan plan = planned(make_layers(one_point_each(two, inside)), limits);
  ASSERT_EQ(plan.firings.size(), 2u);
  EXPECT_EQ(plan.firings[0].finish, Finish::full);
  EXPECT_EQ(plan.firings[1].finish, Finish::tack);
  EXPECT_EQ(plan.places[1].why,
            "Step 1 is fired hotter than the texture of this layer bears, so that is fired first.");
  // The other way round it cannot be: what is to stay rough lies below.
  limits.other = {{0, Finish::tack}};
  EXPECT_NE(refusal(one_point_each(two, inside), limits), "");
}

TEST(PlanFirings, FreelyRaisedStencilsSaveFirings) {
  FiringLimits limits;
  limits.raised = RaisedUse::freely;
  const FiringPlan plan = planned(make_layers(one_point_each(two, beside)), limits);
  EXPECT_EQ(plan.firings.size(), 1u);
  EXPECT_EQ(raised_in(plan), 1u);
}

TEST(PlanFirings, OfTwoRaisedTheOneThatSoftensLessIsRaised) {
  const auto layers = make_layers(one_point_each(two, beside));
  for (const auto& softening : {std::vector<double>{1.0, 2.0}, std::vector<double>{2.0, 1.0}}) {
    const FiringPlan plan = plan_firings(layers, Sheet{}, small_shelf(), limits_of(1), softening);
    EXPECT_EQ(plan.places[0].raised, softening[0] < softening[1]);
    EXPECT_EQ(plan.places[1].raised, softening[0] > softening[1]);
  }
}

TEST(BenchOrder, MovesTheLayersAndThePlanTogether) {
  auto layers = make_layers(one_point_each(two, beside));
  FiringLimits limits;
  limits.fixed = {{0, 2}};
  FiringPlan plan = planned(layers, limits);
  put_in_bench_order(layers, plan);
  EXPECT_EQ(layers[0].powder, 1u);
  EXPECT_EQ(layers[1].powder, 0u);
  EXPECT_EQ(plan.places[0].firing, 0u);
  EXPECT_EQ(plan.places[1].why, "You asked for firing 2.");
  EXPECT_EQ(plan.firings[1].layers, (std::vector<std::size_t>{1}));
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
