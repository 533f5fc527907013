// What a request asks of the firings, and what it cannot ask, word for word.
#include "plan/firing_request.h"

#include <gtest/gtest.h>

#include "plan/technique_request.h"
#include "problem.h"
#include "shelf.h"

namespace powderplan {
namespace {

std::string complaint(const PlanRequest& request, ProblemKind kind = ProblemKind::infeasible) {
  try {
    firing_limits(request, small_shelf());
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), kind);
    return problem.what();
  }
  return "none";
}

TEST(FiringLimits, HavePowdersByTheirPlaces) {
  PlanRequest request;
  request.firing.most_firings = 3;
  request.firing.finish = Finish::contour;
  request.in_firing = {{"red", 3}, {"white", 1}};
  request.finish_of = {{"red", Finish::tack}, {"blue", Finish::full}};
  request.order = {"white", "red", "black"};
  const FiringLimits limits = firing_limits(request, small_shelf());
  EXPECT_EQ(limits.most_firings, 3);
  ASSERT_EQ(limits.fixed.size(), 2u);
  EXPECT_EQ(limits.fixed[0].powder, red);
  EXPECT_EQ(limits.fixed[0].firing, 3);
  EXPECT_EQ(limits.fixed[1].powder, white);
  EXPECT_EQ(limits.fixed[1].firing, 1);
  EXPECT_EQ(finish_wished(limits, red), Finish::tack);
  EXPECT_EQ(finish_wished(limits, blue), Finish::full);
  EXPECT_EQ(finish_wished(limits, yellow), Finish::contour);
}

TEST(FiringLimits, NameEachPowderOnce) {
  PlanRequest request;
  request.in_firing = {{"red", 1}, {"white", 1}, {"red", 2}};
  EXPECT_EQ(complaint(request, ProblemKind::command_line),
            "--in-firing: \"red\" is named twice; name each powder once");
  request.in_firing.clear();
  request.finish_of = {{"blue", Finish::tack}, {"blue", Finish::tack}};
  EXPECT_EQ(complaint(request, ProblemKind::command_line),
            "--finish-of: \"blue\" is named twice; name each powder once");
}

TEST(FiringLimits, NamePowdersOfTheShelf) {
  PlanRequest request;
  request.in_firing = {{"green", 1}};
  EXPECT_EQ(complaint(request, ProblemKind::command_line),
            "--in-firing: no powder \"green\" on the shelf; the shelf has white, black, red, blue, yellow");
  request.in_firing.clear();
  request.finish_of = {{"green", Finish::full}};
  EXPECT_EQ(complaint(request, ProblemKind::command_line),
            "--finish-of: no powder \"green\" on the shelf; the shelf has white, black, red, blue, yellow");
}

TEST(FiringLimits, HaveNoFiringBeyondTheLast) {
  PlanRequest request;
  request.firing.most_firings = 2;
  request.in_firing = {{"white", 2}, {"red", 4}};
  EXPECT_EQ(
      complaint(request),
      "--in-firing: \"red\" is fixed to firing 4, but only 2 are allowed; allow --firings 4, or give it "
      "an earlier one");
  request.firing.most_firings = 4;
  EXPECT_EQ(complaint(request), "none");
}

TEST(FiringLimits, DoNotTurnTheOrderRound) {
  PlanRequest request;
  request.order = {"white", "black", "red"};
  request.in_firing = {{"white", 2}, {"red", 1}};
  EXPECT_EQ(complaint(request),
            "--in-firing: \"white\" is fixed to firing 2 and \"red\" to firing 1, but --order puts the first "
            "below the second; change one of the two firings, or the order");
  request.in_firing = {{"white", 2}, {"red", 2}};
  EXPECT_EQ(complaint(request), "none");
  request.in_firing = {{"white", 2}, {"blue", 1}};
  EXPECT_EQ(complaint(request), "none") << "blue is in no order";
}

TEST(FiringLimits, FireWhatIsHotterFirst) {
  PlanRequest request;
  request.finish_of = {{"red", Finish::tack}};
  request.in_firing = {{"white", 2}, {"red", 2}};
  const std::string wrong =
      "--in-firing: \"white\" is fixed to firing 2 with a full finish and \"red\" to firing 2 with tack, "
      "whose texture that would melt; give the hotter one an earlier firing";
  EXPECT_EQ(complaint(request), wrong);
  request.in_firing = {{"red", 2}, {"white", 2}};
  EXPECT_EQ(complaint(request), wrong) << "whichever is named first";
  request.in_firing = {{"white", 1}, {"red", 2}};
  EXPECT_EQ(complaint(request), "none");
  request.in_firing = {{"white", 2}, {"black", 2}};
  EXPECT_EQ(complaint(request), "none") << "both alike";
}

TEST(FiringLimits, LayNothingHotterOnWhatMustKeepItsTexture) {
  PlanRequest request;
  request.order = {"red", "white"};
  request.finish_of = {{"red", Finish::contour}};
  EXPECT_EQ(complaint(request), "none") << "only one of them need be in the plan";
  request.use = {"white", "red"};
  EXPECT_EQ(
      complaint(request),
      "--finish-of: \"red\" with a contour finish is to lie below \"white\" with full, and both must be "
      "in the plan, but the heat of the second would melt the texture of the first; change one of the "
      "two finishes, or the order");
  request.order = {"white", "red"};
  EXPECT_EQ(complaint(request), "none");
}

ChoiceLimits asked(const PlanRequest& request) {
  ChoiceLimits choice;
  ask_of_choice(firing_limits(request, small_shelf()), powder_ways(request, small_shelf()), small_shelf(),
                choice);
  return choice;
}

TEST(AskOfChoice, NothingUnasked) {
  const ChoiceLimits choice = asked({});
  EXPECT_TRUE(choice.apart.empty());
  EXPECT_TRUE(choice.heat.empty());
  EXPECT_TRUE(choice.in_firing.empty());
}

TEST(AskOfChoice, WhatIsOnlySiftedByHandSharesNoNest) {
  PlanRequest request;
  request.lay = {{"blue", "fade"}};
  request.lay_not = {{"red", "stencil"}, {"white", "fade"}};
  EXPECT_EQ(asked(request).apart, (std::vector<std::size_t>{red, blue}));
}

TEST(AskOfChoice, HeatOfEachPowderWhereOneDiffers) {
  PlanRequest request;
  request.finish_of = {{"red", Finish::tack}};
  const std::vector<int> heat = asked(request).heat;
  ASSERT_EQ(heat.size(), small_shelf().powders.size());
  for (const std::size_t powder : {white, black, blue, yellow})
    EXPECT_GT(heat[powder], heat[red]);
  EXPECT_EQ(heat[white], heat[yellow]);
}

TEST(AskOfChoice, FiringsOfPowders) {
  PlanRequest request;
  request.in_firing = {{"blue", 2}};
  const ChoiceLimits choice = asked(request);
  ASSERT_EQ(choice.in_firing.size(), 1u);
  EXPECT_EQ(choice.in_firing[0].powder, blue);
  EXPECT_EQ(choice.in_firing[0].firing, 2u);
}

}  // namespace
}  // namespace powderplan
