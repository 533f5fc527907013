#include "problem.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

TEST(Problem, SaysPlaceThenWrongThenRemedyOnOneLine) {
  const Problem problem(ProblemKind::input, "shelf.toml:12", "'load' is -1", "it must be 0.001 to 5");
  EXPECT_STREQ(problem.what(), "shelf.toml:12: 'load' is -1; it must be 0.001 to 5");
  EXPECT_EQ(problem.kind(), ProblemKind::input);
  EXPECT_EQ(problem.place(), "shelf.toml:12");
  EXPECT_EQ(problem.wrong(), "'load' is -1");
  EXPECT_EQ(problem.remedy(), "it must be 0.001 to 5");
}

TEST(Problem, LeavesOutAnEmptyRemedy) {
  EXPECT_STREQ(Problem(ProblemKind::other, "plan", "the disk is full", "").what(), "plan: the disk is full");
}

// A file name or a value from a file cannot draw on the terminal or fake a second message.
TEST(Problem, BlanksControlCharactersAndKeepsUtf8) {
  const Problem problem(ProblemKind::input, "a\nb", "bell\a, escape\x1b[31m, delete\x7f", "t\tr\r");
  EXPECT_STREQ(problem.what(), "a b: bell , escape [31m, delete ; t r ");
  EXPECT_STREQ(Problem(ProblemKind::input, "\xff.toml", "\u202etxt\u009b2J", "a\u2028b").what(),
               "\ufffd.toml: txt 2J; a b");
  EXPECT_STREQ(Problem(ProblemKind::input, "étagère.toml", "trop léger", "").what(),
               "étagère.toml: trop léger");
}

TEST(Problem, IsCaughtAsAStandardException) {
  try {
    throw Problem(ProblemKind::infeasible, "limits", "too few layers", "allow 3");
  } catch (const std::exception& error) {
    EXPECT_STREQ(error.what(), "limits: too few layers; allow 3");
  }
}

}  // namespace
}  // namespace powderplan
