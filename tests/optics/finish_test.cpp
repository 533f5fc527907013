#include "optics/finish.h"

#include <array>

#include "optics/levelling.h"
#include "property.h"

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
  holds_always([] {
    const Millimetres grain(any_decade_between(0.02, 1));
    const Millimetres flow = grain * any_decade_between(1e-3, 0.5);
    const FinishValues cool = fired_values(flow, grain), hot = fired_values(flow * 1.02, grain);
    RC_ASSERT(cool.fused < hot.fused);
    RC_ASSERT(cool.spread < hot.spread);
    RC_ASSERT(cool.matte > hot.matte);
    RC_ASSERT(cool.s_air == hot.s_air);
  });
}

TEST(Finish, StartsAsLoosePowderAndEndsAsSolidGlass) {
  const FinishValues loose = fired_values(Millimetres(0), Millimetres(0.1));
  EXPECT_EQ(loose.fused, 0);
  EXPECT_EQ(loose.spread, 1);
  EXPECT_EQ(loose.matte, 1);
  for (const double millimetres : {2.5, 5.0, 40.0}) {
    const FinishValues solid = fired_values(Millimetres(millimetres), Millimetres(0.1));
    EXPECT_EQ(solid.fused, 1);
    EXPECT_EQ(solid.matte, 0);
    EXPECT_NEAR(solid.spread, std::cbrt(4.0), 1e-12) << "a half sphere of the same volume";
  }
}

// Finer powder has more surfaces in the same weight.
TEST(Finish, FinerGrainsScatterMoreInInverseProportion) {
  const double fine = fired_values(Millimetres(0), Millimetres(0.05)).s_air;
  const double coarse = fired_values(Millimetres(0), Millimetres(0.2)).s_air;
  EXPECT_NEAR(fine, 4 * coarse, 1e-9);
}

// The stated targets, and no more heat than they ask for.
TEST(Finish, TargetsAreReachedAndJustSo) {
  holds_always([] {
    const Millimetres grain(any_decade_between(0.01, 2));
    for (const FinishTarget& target : finish_targets) {
      const auto reached = [&](Millimetres flow) {
        const FinishValues values = fired_values(flow, grain);
        return values.fused >= target.fused && values.matte <= target.grain_matte &&
               relief_left(flow, relief_wave) <= target.relief_left;
      };
      const Millimetres flow = flow_for(target.finish, grain);
      RC_ASSERT(reached(flow * 1.0000001));
      RC_ASSERT(!reached(flow * 0.999));
    }
  });
}

TEST(Finish, FlowsThatTheHeaderStates) {
  const Millimetres grain(0.1), radius = grain / 2;
  EXPECT_EQ(flow_for(Finish::unfired, grain), Millimetres(0));
  EXPECT_NEAR(flow_for(Finish::tack, grain) / radius, 0.64, 0.005);
  EXPECT_NEAR(flow_for(Finish::contour, grain) / radius, 2.4, 0.05);
  EXPECT_NEAR(flow_for(Finish::full, grain).value(), 2.4, 0.05);
  EXPECT_NEAR(flow_for(Finish::full, Millimetres(2)).value(), 5.86, 0.01) << "a coarse grain levels last";
  EXPECT_NEAR(fired_values(flow_for(Finish::tack, grain), grain).matte, 0.60, 0.01);
}

TEST(Finish, IsNamedByWhatIsReached) {
  const Millimetres grain(0.1);
  EXPECT_EQ(reached_in_words(Millimetres(0), grain), "unfired");
  EXPECT_EQ(reached_in_words(Millimetres(0.01), grain), "below tack");
  for (const FinishTarget& target : finish_targets) {
    const Millimetres flow = flow_for(target.finish, grain);
    EXPECT_EQ(finish_reached(flow, grain), target.finish);
    EXPECT_EQ(finish_reached(flow * (1 - finish_tolerance / 2), grain), target.finish);
    EXPECT_LT(finish_reached(flow * (1 - finish_tolerance * 2), grain), target.finish);
    EXPECT_EQ(reached_in_words(flow, grain), name_of(target.finish));
  }
  // The same heat leaves less of a fine grain than of a coarse one.
  EXPECT_EQ(finish_reached(flow_for(Finish::tack, Millimetres(0.2)), Millimetres(0.05)), Finish::contour);
}

}  // namespace
}  // namespace powderplan
