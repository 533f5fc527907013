#include "app/plain_output.h"

#include <gtest/gtest.h>

#include <sstream>

namespace powderplan {
namespace {

TEST(PlainOutput, LinesStayAndNothingElseControls) {
  std::ostringstream behind;
  PlainOutput out(behind);
  out << "Reed\x1b[2J\r gold\n  " << 12.5 << " \u202eg\n\n";
  EXPECT_EQ(behind.str(), "Reed [2J  gold\n  12.5 g\n\n");
}

// A character comes in as many writes as it has bytes.
TEST(PlainOutput, WholeCharactersAtAFlush) {
  std::ostringstream behind;
  PlainOutput out(behind);
  out << "\xc3"
      << "\xa9"
      << "t" << std::flush;
  EXPECT_EQ(behind.str(), "\u00e9t");
  out << "\xff\n";
  EXPECT_EQ(behind.str(), "\u00e9t\ufffd\n");
}

TEST(PlainOutput, FailsWithTheStreamBehindIt) {
  std::ostringstream behind;
  PlainOutput out(behind);
  behind.setstate(std::ios::badbit);
  out << "lost";
  EXPECT_TRUE(out);
  out.flush();
  EXPECT_FALSE(out);
}

}  // namespace
}  // namespace powderplan
