// Source: Sharma, Wu, Dalal 2005, "The CIEDE2000 color-difference formula: implementation notes,
// supplementary test data, and mathematical observations", Color Res. Appl. 30, 21-30, table 1.
#include <gtest/gtest.h>

#include <cmath>

#include "colour/difference.h"
#include "published.h"

namespace powderplan {
namespace {

TEST(Sharma2005, AllPairsInBothOrders) {
  const auto rows = published_table("ciede2000_sharma2005.csv");
  ASSERT_EQ(rows.size(), 34u);
  for (const PublishedRow& row : rows) {
    const Lab one{row.number("L1"), row.number("a1"), row.number("b1")};
    const Lab two{row.number("L2"), row.number("a2"), row.number("b2")};
    // The table has four decimals.
    constexpr double tolerance = 1e-4;
    for (const double d : {ciede2000(one, two), ciede2000(two, one)}) {
      if (row.text("pair") == "14") {
        // Hues exactly 180 degrees apart: the last bit of atan2 picks one of two published values.
        EXPECT_TRUE(std::abs(d - 4.8045) < tolerance || std::abs(d - 4.7461) < tolerance) << d;
      } else {
        EXPECT_NEAR(d, row.number("dE00"), tolerance) << "pair " << row.text("pair");
      }
    }
  }
}

}  // namespace
}  // namespace powderplan
