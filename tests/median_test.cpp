// The middle of some numbers.
#include "median.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

TEST(Median, IsTheMiddleOrTheUpperOfTheTwoThere) {
  EXPECT_EQ(median({3}), 3);
  EXPECT_EQ(median({9, 1, 5}), 5);
  EXPECT_EQ(median({4, 1, 3, 2}), 3);
  EXPECT_EQ(median({-1, 7, 7, 7, 100}), 7);
}

}  // namespace
}  // namespace powderplan
