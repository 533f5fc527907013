#include "optics/finish.h"

#include <gtest/gtest.h>

#include <array>

namespace powderplan {
namespace {

constexpr std::array all{Finish::unfired, Finish::tack, Finish::contour, Finish::full};

TEST(Finish, IsFoundByItsOwnName) {
  for (const Finish finish : all)
    EXPECT_EQ(finish_named(name_of(finish)), finish);
  EXPECT_EQ(name_of(Finish::tack), "tack");
  for (const auto other : {"", "Tack", "tack ", "raw", "fused"})
    EXPECT_FALSE(finish_named(other));
}

TEST(Finish, MoreHeatClosesMoreAirSpreadsFurtherAndSmooths) {
  for (std::size_t i = 1; i < all.size(); ++i) {
    const FinishValues cool = finish_values(all[i - 1], Millimetres(0.1)),
                       hot = finish_values(all[i], Millimetres(0.1));
    EXPECT_LT(cool.fused, hot.fused);
    EXPECT_LT(cool.spread, hot.spread);
    EXPECT_GT(cool.matte, hot.matte);
    EXPECT_EQ(cool.s_air, hot.s_air);
  }
}

TEST(Finish, StartsAsLoosePowderAndEndsAsSolidGlass) {
  const FinishValues loose = finish_values(Finish::unfired, Millimetres(0.1));
  EXPECT_EQ(loose.fused, 0);
  EXPECT_EQ(loose.spread, 1);
  EXPECT_EQ(loose.matte, 1);
  const FinishValues solid = finish_values(Finish::full, Millimetres(0.1));
  EXPECT_EQ(solid.fused, 1);
  EXPECT_EQ(solid.matte, 0);
}

// Finer powder has more surfaces in the same weight.
TEST(Finish, FinerGrainsScatterMoreInInverseProportion) {
  const double fine = finish_values(Finish::unfired, Millimetres(0.05)).s_air;
  const double coarse = finish_values(Finish::unfired, Millimetres(0.2)).s_air;
  EXPECT_NEAR(fine, 4 * coarse, 1e-9);
}

}  // namespace
}  // namespace powderplan
