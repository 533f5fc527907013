#include "weigh/real_weights.h"

#include <gtest/gtest.h>

#include "problem.h"

namespace powderplan {
namespace {

// Of the plan that the weights are for.
const std::string plan(64, 'a');

const std::map<int, Grams> wished{{1, Grams(12.3)}, {4, Grams(0)}};

TEST(RealWeights, FromJsonAndFromCsvAlike) {
  EXPECT_EQ(parse_real_weights("{\"schema\": 1, \"layers\": [{\"index\": 1, \"grams\": 12.3}, "
                               "{\"index\": 4, \"grams\": 0}]}",
                               "w.json", plan),
            wished);
  EXPECT_EQ(parse_real_weights("layer,grams\n1,12.3\n4,0\n", "w.csv", plan), wished);
  EXPECT_EQ(parse_real_weights("layer;grams\n1;12,3\n4;0\n", "w.csv", plan), wished);
  EXPECT_EQ(parse_real_weights("\r\n layer , grams\r\n\r\n4,\t0\r\n 1 ,12.3", "w.csv", plan), wished);
}

void expect_refused(const std::string& text, const std::string& line) {
  try {
    (void)parse_real_weights(text, "w", plan);
    ADD_FAILURE() << "not refused: " << line;
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_STREQ(problem.what(), line.c_str());
  }
}

TEST(RealWeights, SaysWhereAndWhatIsWrong) {
  const std::string none =
      "w: holds no weight of any layer; write a head layer,grams and a line for each layer, "
      "e.g. 3,12.5";
  expect_refused("", "w: the table is empty; give it a heading and rows");
  expect_refused("layer,grams\n", "w: the table has a heading and no rows; add the rows");
  expect_refused("1,12.3\n2,4\n",
                 "w:1: there is no column \"layer\"; the heading has 1, 12.3; name the column so");
  expect_refused(
      "layer,grams\n1,12,3\n",
      "w:2: 3 cells where the heading has 2; give every row as many as the heading; where the comma is "
      "the decimal mark, part the cells of the heading and of all rows by semicolons");
  expect_refused("layer,grams\n1,12.3 g\n", "w:2: \"grams\" is \"12.3 g\"; write a number");
  expect_refused("layer,grams\n1,nan\n", "w:2: \"grams\" is \"nan\"; write a number");
  expect_refused("layer,grams\n1,-1\n", "w:2: \"grams\" is -1; it must be 0 to 1000000 g");
  expect_refused("layer,grams\n0,1\n", "w:2: \"layer\" is 0; it must be 1 to 10000");
  expect_refused("layer,grams\n1.5,1\n", "w:2: \"layer\" is 1.5; write a whole number");
  expect_refused("layer,grams\n1,1\n\n1,2\n",
                 "w:4: layer 1 is there twice; add its grams up and write it once");
  expect_refused("{\"schema\": 1}", "w: 'layers' is missing; add it, or make the file anew");
  expect_refused("{\"schema\": 1, \"layers\": [{\"index\": 1}]}",
                 "w: entry 1: 'grams' is missing; add it, or make the file anew");
  expect_refused("{\"schema\": 1, \"layers\": [{\"index\": 1, \"grams\": 1}, {\"index\": 1, \"grams\": 2}]}",
                 "w: entry 2: layer 1 is there twice; add its grams up and write it once");
  expect_refused("{\"schema\": 1, \"layers\": []}", none);
  expect_refused("{\"schema\": 1, \"layers\": [{\"index\": 1, \"done\": 1}]}",
                 "w: entry 1: 'done' must be true or false; write it without quotes");
  expect_refused(
      "{\"schema\": 1, \"layers\": [{\"index\": 1, \"done\": true}, {\"index\": 1, \"grams\": 2}]}",
      "w: entry 2: layer 1 is there twice; add its grams up and write it once");
  expect_refused("{\"schema\": 1, \"layers\": [{\"index\": 1, \"grams\": null, \"done\": \"yes\"}]}",
                 "w: entry 1: 'done' must be true or false; write it without quotes");
}

// What the bench page writes: the plan it belongs to, layers that are only done, keys of its own.
TEST(RealWeights, FromTheBenchPage) {
  const std::string text = "{\"schema\": 1, \"title\": \"Heron\", \"plan_sha256\": \"" + plan +
                           "\", \"layers\": [{\"index\": 1, \"grams\": 12.3, \"done\": true}, "
                           "{\"index\": 2, \"done\": true}, {\"index\": 4, \"grams\": 0, \"done\": false}], "
                           "\"firings_done\": 1}";
  EXPECT_EQ(parse_real_weights(text, "w.json", plan), wished);
  EXPECT_TRUE(
      parse_real_weights("{\"schema\": 1, \"layers\": [{\"index\": 2, \"done\": true}]}", "w.json", plan)
          .empty());
}

TEST(RealWeights, OfAnotherPlanAreRefused) {
  expect_refused(
      "{\"schema\": 1, \"plan_sha256\": \"" + std::string(64, 'b') +
          "\", \"layers\": [{\"index\": 1, \"grams\": 1}]}",
      "w: its weights were noted for another plan, or for this one before it was made anew; name the "
      "plan whose worksheet they were noted on; if you are sure, take \"plan_sha256\" out");
}

}  // namespace
}  // namespace powderplan
