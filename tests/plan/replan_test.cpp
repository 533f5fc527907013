// The rest of the trial plan made anew, when the first firing is done and its powders lie too heavy.
#include "plan/replan.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "firing/piece_thickness.h"
#include "problem.h"
#include "report/fixture.h"
#include "report/stage.h"
#include "separation/fidelity.h"

namespace powderplan {
namespace {

PlanRequest request_for(const PlanRecord& plan) {
  PlanRequest request;
  request.size.width = plan.width;
  request.smallest = plan.smallest;
  request.most_layers = *plan.most_layers;
  request.firing.most_loose_load = plan.limits.most_loose_load;
  return request;
}

PieceAsItIs piece_of(const PlanRecord& plan, double strength) {
  return {1, std::vector<double>(plan.layers.size(), strength)};
}

bool lies(const PlanRecord& plan, std::size_t layer) {
  return plan.firing_plan.places[layer].firing == 0;
}

// Of the finished piece to the target.
double error_of(const PlanRecord& plan) {
  Image<PackedLab> wanted(plan.target.width(), plan.target.height());
  for (std::size_t i = 0; i < wanted.size(); ++i)
    wanted[i] = to_pixel(to_lab(plan.target[i]));
  return difference(wanted, finished_colours(plan), Image<std::uint8_t>(wanted.width(), wanted.height()))
      .mean;
}

// What the trial plan would be if its target were what it looks like.
PlanRecord plan_that_fits() {
  PlanRecord plan = fixture::record();
  plan.target = fired_preview(plan, plan.view);
  return plan;
}

TEST(Replan, WhatLiesStaysAndComesFirst) {
  const PlanRecord plan = plan_that_fits();
  const PieceAsItIs piece = piece_of(plan, 1.4);
  const PlanRecord anew = replan(request_for(plan), plan, piece);
  EXPECT_EQ(anew.firings_done, 1u);
  std::size_t next = 0;
  for (std::size_t i = 0; i < plan.layers.size(); ++i) {
    if (!lies(plan, i))
      continue;
    ASSERT_LT(next, anew.layers.size());
    const Layer &now = anew.layers[next], &was = plan.layers[i];
    EXPECT_EQ(now.powder, was.powder);
    EXPECT_DOUBLE_EQ(now.load.value(), was.load.value() * 1.4);
    for (std::size_t p = 0; p < was.amount.size(); ++p)
      ASSERT_EQ(now.amount[p], was.amount[p]);
    EXPECT_EQ(anew.firing_plan.places[next].firing, 0u);
    EXPECT_FALSE(now.stencil.has_value()) << "nobody cuts it any more";
    ++next;
  }
  ASSERT_GT(next, 0u);
  ASSERT_LT(next, anew.layers.size()) << "and there is something to come";
  for (std::size_t i = next; i < anew.layers.size(); ++i)
    EXPECT_GE(anew.firing_plan.places[i].firing, 1u);
  EXPECT_EQ(layers_done(anew), next);
}

TEST(Replan, FiringsAndBenchOrderFitTogether) {
  const PlanRecord plan = plan_that_fits();
  const PlanRecord anew = replan(request_for(plan), plan, piece_of(plan, 1.3));
  const std::vector<Firing>& firings = anew.firing_plan.firings;
  EXPECT_LE(firings.size(), plan.firing_plan.firings.size());
  ASSERT_GE(firings.size(), 2u);
  EXPECT_EQ(firings[0].flow, plan.firing_plan.firings[0].flow) << "it is done as it was planned";
  EXPECT_EQ(firings[0].segments.size(), plan.firing_plan.firings[0].segments.size());
  EXPECT_EQ(firings[0].thickness, plan.firing_plan.firings[0].thickness);
  const std::vector<Millimetres> thickness =
      thickness_after_firings(anew.layers, anew.firing_plan.places, firings.size(), anew.separation.grid,
                              sheet_of(anew), anew.palette.glass.density);
  for (std::size_t k = 1; k < firings.size(); ++k)
    EXPECT_EQ(firings[k].thickness, thickness[k]) << "what lies already counts";
  // Each layer once, in the order of the bench, where its place says.
  std::size_t next = 0;
  for (std::size_t k = 0; k < firings.size(); ++k) {
    for (const std::size_t layer : firings[k].layers) {
      EXPECT_EQ(layer, next++);
      EXPECT_EQ(anew.firing_plan.places[layer].firing, k);
    }
  }
  EXPECT_EQ(next, anew.layers.size());
  EXPECT_EQ(anew.firing_plan.places.size(), anew.layers.size());
  EXPECT_EQ(anew.weights.layers.size(), anew.layers.size());
  for (std::size_t i = layers_done(anew); i < anew.layers.size(); ++i)
    EXPECT_TRUE(anew.layers[i].stencil.has_value()) << "a template for what is to come";
}

TEST(Replan, TheErrorIsNoWorseThanGoingOnAsPlanned) {
  const PlanRecord plan = plan_that_fits();
  for (const double strength : {0.6, 1.6}) {
    PlanRecord as_planned = plan;
    for (std::size_t i = 0; i < plan.layers.size(); ++i)
      if (lies(plan, i))
        as_planned.layers[i].load = plan.layers[i].load * strength;
    const PlanRecord anew = replan(request_for(plan), plan, piece_of(plan, strength));
    EXPECT_LE(error_of(anew), error_of(as_planned) + 0.05) << strength;
    EXPECT_NEAR(anew.fidelity.mean_de00, error_of(anew), 0.05) << "what the plan says of itself";
  }
}

TEST(Replan, TheJarsAreAskedOnlyForWhatIsToCome) {
  PlanRecord plan = plan_that_fits();
  for (Powder& powder : plan.palette.powders)
    powder.stock = Grams(0.0001);
  const PlanRecord anew = replan(request_for(plan), plan, piece_of(plan, 1));
  int asked = 0, spared = 0;
  for (const PowderTotal& total : anew.weights.totals) {
    bool to_come = false;
    for (std::size_t i = layers_done(anew); i < anew.layers.size(); ++i)
      to_come = to_come || anew.layers[i].powder == total.powder;
    EXPECT_EQ(total.short_of > Grams(0), to_come) << plan.palette.powders[total.powder].id;
    ++(to_come ? asked : spared);
  }
  EXPECT_GT(asked, 0);
  EXPECT_GT(spared, 0);
}

TEST(Replan, WhatThePictureLeavesBareStaysBare) {
  PlanRecord plan = plan_that_fits();
  const Grid& grid = plan.separation.grid;
  plan.bare = Image<std::uint8_t>(grid.width, grid.height);
  for (int y = 0; y < grid.height; ++y)
    for (int x = grid.width - 14; x < grid.width; ++x)
      plan.bare.at(x, y) = 1;
  const PlanRecord anew = replan(request_for(plan), plan, piece_of(plan, 1.2));
  std::size_t covered = 0, wide = 0;
  for (std::size_t i = layers_done(anew); i < anew.layers.size(); ++i)
    for (int y = 0; y < grid.height; ++y)
      for (int x = grid.width - 6; x < grid.width; ++x)
        covered += anew.layers[i].amount.at(x, y) != 0 ? 1u : 0u;
  for (std::size_t i = 0; i < plan.layers.size(); ++i)
    for (int y = 0; y < grid.height && !lies(plan, i); ++y)
      for (int x = grid.width - 6; x < grid.width; ++x)
        wide += plan.layers[i].amount.at(x, y) != 0 ? 1u : 0u;
  EXPECT_GT(wide, 0u) << "the plan had powder there";
  EXPECT_EQ(covered, 0u);
  ASSERT_EQ(anew.bare.size(), plan.bare.size());
  EXPECT_EQ(anew.bare.at(grid.width - 1, 0), 1);
}

std::string refusal(const PlanRecord& plan, const PieceAsItIs& piece) {
  try {
    replan(request_for(plan), plan, piece);
    return "planned";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::infeasible) << problem.what();
    return problem.what();
  }
}

TEST(Replan, SaysWhatCannotBe) {
  PlanRecord plan = plan_that_fits();
  const std::size_t firings = plan.firing_plan.firings.size();
  PieceAsItIs piece = piece_of(plan, 1);
  piece.firings_done = 0;
  EXPECT_EQ(
      refusal(plan, piece),
      fmt::format("replanning: after firing 0 of {} nothing is left to plan; there must be a firing that is "
                  "done, and one still to come",
                  firings));
  piece.firings_done = firings;
  EXPECT_EQ(
      refusal(plan, piece),
      fmt::format("replanning: after firing {0} of {0} nothing is left to plan; there must be a firing that "
                  "is done, and one still to come",
                  firings));
  piece.firings_done = 1;
  const std::size_t last = plan.layers.size() - 1;
  plan.layers[last].technique = Technique::line;
  EXPECT_EQ(refusal(plan, piece),
            fmt::format("replanning: layer {} is drawn by hand, and lines are not planned "
                        "anew; go on as planned, or plan the piece again from the picture",
                        last + 1));
  plan.layers[last].technique = Technique::stencil;
  plan.layers[last].scratched.emplace();
  EXPECT_EQ(refusal(plan, piece),
            fmt::format("replanning: layer {} is scratched by hand, and lines are not planned anew; go on as "
                        "planned, or plan the piece again from the picture",
                        last + 1));
  plan.layers[last].scratched.reset();
  plan.firings_done = 2;
  EXPECT_EQ(
      refusal(plan, piece),
      "replanning: firing 2 of this plan is behind the piece already; name the plan that came before it, or "
      "a later firing");
}

}  // namespace
}  // namespace powderplan
