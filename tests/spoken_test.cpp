#include "spoken.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

TEST(Spoken, ListsAsTheyAreSaid) {
  EXPECT_EQ(spoken({}), "");
  EXPECT_EQ(spoken({"left"}), "left");
  EXPECT_EQ(spoken({"left", "top"}), "left and top");
  EXPECT_EQ(spoken({"left", "top", "bottom"}), "left, top and bottom");
}

TEST(Counted, OneIsNoPlural) {
  EXPECT_EQ(counted(0, "line"), "0 lines");
  EXPECT_EQ(counted(1, "line"), "1 line");
  EXPECT_EQ(counted(2, "line"), "2 lines");
}

}  // namespace
}  // namespace powderplan
