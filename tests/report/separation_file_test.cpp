// The separation of a plan as JSON, and what is said of one that is damaged. (That it comes back whole is
// told by plan_reader_test.cpp.)
#include "report/separation_file.h"

#include <gtest/gtest.h>

#include "fades.h"
#include "problem.h"
#include "report/fixture.h"

namespace powderplan {
namespace {

const Grid grid{Millimetres(1), 4, 2};

PlanRecord plan_with_a_fade() {
  PlanRecord plan;
  plan.palette = fixture::shelf();
  plan.separation = {grid,
                     {nest_of(0, {Load(0.1), Load(0.2)}), nest_of(2, {Load(0.05)})},
                     {{0, 1}, {1, 1}, {2, 1}},
                     Image<std::uint16_t>(4, 2)};
  plan.separation.fades = {
      {1, 1, true, field_by(grid, Millimetres(2), [](double x, double) { return x / 4; })}};
  return plan;
}

std::string message(const std::string& from, const std::string& to, std::uint16_t label = 0) {
  std::string json = separation_json(plan_with_a_fade());
  const std::size_t at = json.find(from);
  EXPECT_NE(at, std::string::npos) << from << " in " << json;
  if (at != std::string::npos)
    json.replace(at, from.size(), to);
  try {
    read_separation(json, "s.json", Image<std::uint16_t>(4, 2, label), grid, fixture::shelf());
    return "read";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
}

TEST(SeparationFile, SaysWhatIsWrong) {
  const std::string again = "; make the plan again";
  EXPECT_EQ(message("nests", "nests"), "read");
  EXPECT_EQ(message("nests", "nests", 2), "read");
  EXPECT_EQ(message("nests", "nests", 3), "s.json: the map of labels holds 3, and there are 3" + again);
  EXPECT_EQ(message("[2,1]", "[3,1]"), "s.json: label 3: nest 1 has no tone 3" + again);
  EXPECT_EQ(message("[2,1]", "[1.5,1]"), "s.json: label 3: nest 1 has no tone 1.5" + again);
  EXPECT_EQ(
      message("[2,1]", "[2]"),
      "s.json: label 3: 'tones' must be a list of 2 numbers; write them in brackets, with commas between");
  EXPECT_EQ(message("\"nest\":1", "\"nest\":2"), "s.json: fade 1: is of a layer that is not there" + again);
  EXPECT_EQ(message("\"step\":1", "\"step\":0"), "s.json: fade 1: is of a layer that is not there" + again);
  EXPECT_EQ(message("[{\"powder\":\"rust-red\",\"load_g_cm2\":0.05}]", "[]"),
            "s.json: nest 2: has no steps" + again);
  EXPECT_EQ(
      message("rust-red", "snow"),
      "s.json: nest 2, step 1: the palette holds no powder \"snow\"; name the palette that the plan was made "
      "with");
}

TEST(SeparationFile, TheMapMustFitTheGrid) {
  try {
    read_separation(separation_json(plan_with_a_fade()), "s.json", Image<std::uint16_t>(3, 2), grid,
                    fixture::shelf());
    FAIL();
  } catch (const Problem& problem) {
    EXPECT_STREQ(problem.what(),
                 "s.json: the map of labels has not the size of the grid; make the plan again");
  }
}

}  // namespace
}  // namespace powderplan
