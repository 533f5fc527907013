#include "measure/measured_powder.h"

#include <gtest/gtest.h>

#include "measure/known_tile.h"
#include "parallel.h"
#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

using known_tile::KnownTile;
using known_tile::mean;

std::string complaint(const Readings& readings) {
  try {
    measure_powder(readings, "tile.jpg");
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
  return "none";
}

struct Honesty {
  double truth = 0, expected = 0;
};

// Over so many glasses: fewer say little, because what a single one expects is uncertain by half.
Honesty honesty(double noise, bool opalescent, double power, unsigned glasses) {
  Honesty all;
  for (unsigned seed = 1; seed <= glasses; ++seed) {
    const KnownTile tile(known::made_up(seed, opalescent), opalescent, power);
    const MeasuredPowder measured = measure_powder(tile.read(noise, seed), "tile.jpg");
    all.truth += mean(tile.unseen_errors(measured.optics)) / glasses;
    all.expected += measured.expected_de00 / glasses;
  }
  return all;
}

// What is said to be expected of loads that were not measured is what happens, in the mean over glasses.
TEST(MeasuredPowder, ExpectsTheErrorThatItMakes) {
  for (const double noise : {0.05, 0.3, 1.0}) {
    Honesty both;
    for (const bool opalescent : {false, true}) {
      const Honesty one = honesty(noise, opalescent, 1, 40);
      both.truth += one.truth;
      both.expected += one.expected;
      EXPECT_GT(one.expected, one.truth / 1.5) << noise << " " << opalescent;
      EXPECT_LT(one.expected, one.truth * 1.5) << noise << " " << opalescent;
    }
    EXPECT_GT(both.expected, both.truth / 1.25) << noise;
    EXPECT_LT(both.expected, both.truth * 1.25) << noise;
  }
}

// Where the powder is not as Kubelka-Munk has it, it expects too much rather than too little.
TEST(MeasuredPowder, OfAnotherKindExpectsRatherTooMuch) {
  for (const double noise : {0.1, 0.5}) {
    for (const bool opalescent : {false, true}) {
      const Honesty found = honesty(noise, opalescent, 0.85, 16);
      EXPECT_GT(found.expected, 0.9 * found.truth) << noise << " " << opalescent;
      EXPECT_LT(found.expected, 3 * found.truth) << noise << " " << opalescent;
    }
  }
}

TEST(MeasuredPowder, TakesACurveOnlyWhereItPredictsBetter) {
  int needless = 0, needed = 0;
  constexpr int glasses = 8;
  for (unsigned seed = 1; seed <= glasses; ++seed) {
    const known::Glass glass = known::made_up(seed, true);
    const KnownTile plain(glass, true), other(glass, true, 0.8);
    needless += measure_powder(plain.read(0.2, seed), "a").optics.curve.points().empty() ? 0 : 1;
    const MeasuredPowder measured = measure_powder(other.read(0.2, seed), "b");
    needed += measured.optics.curve.points().empty() ? 0 : 1;
    EXPECT_LT(mean(other.unseen_errors(measured.optics)), 0.8) << seed;
  }
  EXPECT_LE(needless, 1);
  EXPECT_GE(needed, glasses - 1);
}

TEST(MeasuredPowder, SaysOfEachStepWhatWasMeasuredAndPredicted) {
  const Readings readings = KnownTile(known::made_up(3, true), true).read(0.3, 3);
  const MeasuredPowder measured = measure_powder(readings, "tile.jpg");
  ASSERT_EQ(measured.steps.size(), readings.steps.size());
  double sum = 0;
  for (std::size_t i = 0; i < readings.steps.size(); ++i) {
    const StepResult& step = measured.steps[i];
    EXPECT_EQ(step.load, readings.steps[i].load);
    EXPECT_EQ(step.measured, measured_lab(readings.steps[i]));
    EXPECT_EQ(step.predicted, lab_of(look_of(measured.optics, readings, readings.steps[i])));
    EXPECT_NEAR(step.de00, ciede2000(step.measured, step.predicted), 1e-12);
    sum += step.de00;
  }
  EXPECT_NEAR(measured.residual_de00, sum / static_cast<double>(measured.steps.size()), 1e-12);
  EXPECT_TRUE(measured.left_out);
  EXPECT_TRUE(measured.notes.empty()) << measured.notes.front();
}

TEST(MeasuredPowder, TheSameWhateverTheThreads) {
  const Readings readings = KnownTile(known::made_up(4, false), false).read(0.3, 4);
  const ThreadCount one(1);
  const MeasuredPowder alone = measure_powder(readings, "a");
  const ThreadCount five(5);
  const MeasuredPowder together = measure_powder(readings, "a");
  EXPECT_EQ(alone.optics.k, together.optics.k);
  EXPECT_EQ(alone.expected_de00, together.expected_de00);
}

TEST(MeasuredPowder, OfFewLoadsSaysThatItCouldNotTry) {
  const KnownTile tile(known::made_up(5, true), true);
  const MeasuredPowder three = measure_powder(tile.read(0.3, 5, 3), "a");
  EXPECT_FALSE(three.left_out);
  EXPECT_EQ(three.notes.back(), "fewer than 4 loads: how well others are predicted could not be tried");
  EXPECT_GT(three.expected_de00, mean(tile.unseen_errors(three.optics)));
  const MeasuredPowder one = measure_powder(tile.read(0.3, 5, 1), "a");
  EXPECT_EQ(one.expected_de00, one_load_de00);
}

// That constant, on glasses of which one load was known.
TEST(MeasuredPowder, OfOneLoadExpectsWhatMadeUpGlassesReach) {
  for (const bool opalescent : {false, true}) {
    double sum = 0;
    constexpr unsigned glasses = 12;
    for (unsigned seed = 1; seed <= glasses; ++seed) {
      const KnownTile tile(known::made_up(seed, opalescent), opalescent);
      sum += mean(tile.unseen_errors(measure_powder(tile.read(0.3, seed, 1), "a").optics)) / glasses;
    }
    EXPECT_LT(sum, one_load_de00);
    EXPECT_GT(sum, one_load_de00 / 4);
  }
}

TEST(MeasuredPowder, SaysWhereOneGroundAloneWasRead) {
  const KnownTile tile(known::made_up(5, true), true);
  Readings readings = tile.read(0.1, 5);
  EXPECT_TRUE(measure_powder(readings, "a").notes.empty());
  std::erase_if(readings.steps, [](const StepReading& step) { return step.ground == 1; });
  const MeasuredPowder measured = measure_powder(readings, "a");
  ASSERT_EQ(measured.notes.size(), 1u);
  EXPECT_EQ(
      measured.notes[0],
      "there are not both a light and a dark ground, so absorption and scattering are hardly told apart: do "
      "not rely on it over other grounds than these");
}

TEST(MeasuredPowder, RefusesTooFewSteps) {
  Readings readings = KnownTile(known::made_up(1, true), true).read(0, 1, 1);
  readings.steps.pop_back();
  EXPECT_EQ(
      complaint(readings),
      "tile.jpg: only one step of a load above 0; absorption and scattering cannot be told apart by fewer "
      "than two: one load over a light and a dark ground, or several loads");
  readings.steps.clear();
  EXPECT_EQ(complaint(readings).substr(0, 36), "tile.jpg: no step of a load above 0;");
}

// Steps that no powder has because two were sifted in each other's place.
TEST(MeasuredPowder, RefusesStepsThatGoBackAndForth) {
  Readings readings = KnownTile(known::made_up(2, true), true).read(0.2, 2);
  std::swap(readings.steps[2].seen, readings.steps[8].seen);
  std::swap(readings.steps[3].seen, readings.steps[9].seen);
  const std::string said = complaint(readings);
  EXPECT_NE(said.find("tile.jpg: the steps go back and forth: "), std::string::npos) << said;
  EXPECT_NE(said.find("check that the cells are in their order"), std::string::npos) << said;
}

TEST(MeasuredPowder, RefusesStepsOfAnotherTile) {
  // Green over light, red over dark, in every load.
  Readings readings = KnownTile(known::made_up(2, true), true).read(0.2, 2);
  for (StepReading& step : readings.steps) {
    Lab lab = measured_lab(step);
    lab.a = step.ground == 0 ? -45 : 45;
    step.seen = to_xyz(lab);
  }
  const std::string said = complaint(readings);
  EXPECT_NE(said.find("no powder looks like this on these grounds"), std::string::npos) << said;
}

// Steps of one real glass, exact or with the noise of a photo, are never taken for faulty ones, over grounds
// light, dark or in between.
TEST(MeasuredPowder, NeverRefusesAPossibleTile) {
  holds_always(
      [] {
        const bool opalescent = any_whole(0, 1) == 1;
        const auto seed = static_cast<unsigned>(any_whole(1, 100000));
        const known::Glass glass = known::made_up(seed, opalescent);
        Readings readings = KnownTile(glass, opalescent).read(any_between(0, 0.5), seed, 5);
        RC_ASSERT(complaint(readings) == "none");
        known::Bands middle;
        for (std::size_t b = 0; b < middle.size(); ++b)
          middle[b] = 0.4 + 0.004 * static_cast<double>(b);
        readings.grounds.push_back(
            {"middle", opaque_ground(known_tile::spectrum(known::seen(glass, 0, middle)))});
        const std::vector<StepReading> steps = readings.steps;
        for (const StepReading& step : steps)
          if (step.ground == 0)
            readings.steps.push_back(
                {step.load, 2,
                 to_xyz(lab_of(known_tile::spectrum(known::seen(glass, step.load.value(), middle))))});
        RC_ASSERT(complaint(readings) == "none");
      },
      30);
}

}  // namespace
}  // namespace powderplan
