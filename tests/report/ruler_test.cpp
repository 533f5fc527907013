#include "report/ruler.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

TEST(Ruler, IsARoundLengthThatFits) {
  EXPECT_DOUBLE_EQ(ruler_length(1), 1);
  EXPECT_DOUBLE_EQ(ruler_length(4.9), 2);
  EXPECT_DOUBLE_EQ(ruler_length(5), 5);
  EXPECT_DOUBLE_EQ(ruler_length(99.9), 50);
  EXPECT_DOUBLE_EQ(ruler_length(240), 200);
  EXPECT_DOUBLE_EQ(ruler_length(0.3), 0.2);
}

}  // namespace
}  // namespace powderplan
