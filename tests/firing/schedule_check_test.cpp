#include "firing/schedule_check.h"

#include <gtest/gtest.h>

#include "firing/starting_schedule.h"

namespace powderplan {
namespace {

const GlassConstants glass;
constexpr Millimetres six{6};

double stress_at(double rate) {
  return -plate_stress(rate, six, glass.expansion_per_k, HeatedFaces::one).face_mpa;
}

TEST(HighestStress, NamesTheLegThatCausesIt) {
  const Schedule schedule{{100, Celsius(300), 0},  {200, Celsius(600), 20}, {900, Celsius(700), 10},
                          {800, Celsius(520), 30}, {60, Celsius(450), 0},   {90, Celsius(50), 0}};
  const HighestStress highest = highest_stress(schedule, glass, six, HeatedFaces::one);
  ASSERT_TRUE(highest.up && highest.down);
  EXPECT_EQ(highest.up->leg, 1u) << "900 is above the annealing point, where stress does not stay";
  EXPECT_NEAR(highest.up->face_mpa, stress_at(200), 1e-12);
  EXPECT_EQ(highest.down->leg, 5u) << "800 ends above the annealing point";
  EXPECT_NEAR(highest.down->face_mpa, stress_at(90), 1e-12);
}

TEST(HighestStress, NoneWhereTheKilnDoesNotGo) {
  const HighestStress never_down = highest_stress({{100, Celsius(700), 10}}, glass, six, HeatedFaces::one);
  EXPECT_TRUE(never_down.up);
  EXPECT_FALSE(never_down.down);
  EXPECT_FALSE(highest_stress({}, glass, six, HeatedFaces::one).up);
}

TEST(CoolsTooFast, LooksOnlyAtTheAnnealingRange) {
  const auto too_fast = [](double to_annealing, double through, double below) {
    return cools_too_fast({{300, Celsius(700), 10},
                           {to_annealing, Celsius(515), 30},
                           {through, Celsius(470), 0},
                           {below, Celsius(50), 0}},
                          glass, 100);
  };
  EXPECT_FALSE(too_fast(900, 100, 900));
  EXPECT_EQ(too_fast(900, 101, 100), 2u);
  // In one go from the top.
  EXPECT_EQ(cools_too_fast({{300, Celsius(700), 10}, {150, Celsius(50), 0}}, glass, 100), 1u);
  EXPECT_FALSE(cools_too_fast({{300, Celsius(700), 10}}, glass, 100)) << "it never cools";
}

TEST(AnnealingMinutes, CountHoldsOnTheWayDown) {
  EXPECT_EQ(annealing_minutes({{300, Celsius(515), 45}, {300, Celsius(700), 10}}, glass), 0);
  EXPECT_EQ(annealing_minutes({{300, Celsius(700), 10},
                               {300, Celsius(530), 20},
                               {300, Celsius(500), 30},
                               {300, Celsius(400), 60}},
                              glass),
            50);
}

TEST(StartingSchedule, HasNothingToBewareOf) {
  for (const double thickness : {2.0, 3.0, 6.0, 12.0, 25.0}) {
    const Millimetres t(thickness);
    const Schedule schedule = starting_schedule(glass, t, Finish::full, Millimetres(0.1));
    const HighestStress highest = highest_stress(schedule, glass, t, HeatedFaces::one);
    EXPECT_LE(highest.up->face_mpa, heating_stress_mpa) << thickness;
    EXPECT_LE(highest.down->face_mpa, late_cooling_stress_mpa) << thickness;
    EXPECT_FALSE(
        cools_too_fast(schedule, glass, rate_for_stress(t, glass.expansion_per_k, cooling_stress_mpa)))
        << thickness;
    EXPECT_GE(annealing_minutes(schedule, glass), 30) << thickness;
  }
}

}  // namespace
}  // namespace powderplan
