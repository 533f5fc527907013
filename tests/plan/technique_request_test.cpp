#include "plan/technique_request.h"

#include <gtest/gtest.h>

#include "problem.h"
#include "report/files.h"

namespace powderplan {
namespace {

Palette two_powders() {
  Palette palette;
  palette.powders.resize(2);
  palette.powders[0].id = std::string("dune");
  palette.powders[1].id = std::string("kelp");
  return palette;
}

std::string refusal(const PlanRequest& request) {
  try {
    powder_ways(request, two_powders());
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::command_line);
    return problem.what();
  }
  return "";
}

TEST(PowderWays, AreThoseOfTheRunUnlessAPowderHasItsOwn) {
  PlanRequest request;
  EXPECT_EQ(powder_ways(request, two_powders()), (std::vector<PowderWays>(2, {true, true, true})));
  request.techniques = {true, true, false};
  request.lay = {{"kelp", "fade"}};
  EXPECT_EQ(powder_ways(request, two_powders()),
            (std::vector<PowderWays>{{true, true, false}, {false, true, false}}));
  request.lay = {};
  request.lay_not = {{"dune", "stencil"}, {"kelp", "fade"}};
  EXPECT_EQ(powder_ways(request, two_powders()),
            (std::vector<PowderWays>{{false, true, false}, {true, false, false}}));
}

TEST(PowderWays, SayWhatIsWrong) {
  PlanRequest request;
  request.lay = {{"reed", "fade"}};
  EXPECT_EQ(refusal(request), "--lay: no powder \"reed\" on the shelf; the shelf has dune, kelp");
  request.lay = {{"kelp", "line"}};
  request.techniques = {true, true, false};
  EXPECT_EQ(refusal(request),
            "--lay: no way is left to put down powder \"kelp\"; allow it one of --techniques, or name it in "
            "--without");
  request.lay = {};
  request.lay_not = {{"fen", "line"}};
  EXPECT_EQ(refusal(request), "--lay-not: no powder \"fen\" on the shelf; the shelf has dune, kelp");
}

}  // namespace
}  // namespace powderplan
