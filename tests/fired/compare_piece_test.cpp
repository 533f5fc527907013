// Pieces computed from the trial plan with other loads, without a camera, against that plan. (Made-up photos
// by an optical model of their own: tests/outside/compare_check.py.)
#include "fired/compare_piece.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <random>

#include "fired/planned_look.h"
#include "parallel.h"
#include "report/fixture.h"
#include "report/piece_comparison.h"
#include "report/stage.h"

namespace powderplan {
namespace {

// What a heavier powder must be found within: ours, a quarter of the fifth that it is off by.
constexpr double found_within = 0.05;

const PlanRecord& plan() {
  static const PlanRecord made = fixture::record(224, 144);
  return made;
}

Grid grid_of(const PlanRecord& record) {
  const Millimetres pitch = comparison_pitch(record);
  return {pitch, static_cast<int>(std::lround(record.width / pitch)),
          static_cast<int>(std::lround(record.height / pitch))};
}

// The finished piece on white paper, its layers as strong as `strength` (by layer) says.
SeenPiece piece_of(const PlanRecord& record, const std::vector<double>& strength,
                   const Spectrum& under = Spectrum::constant(0.85)) {
  PlanRecord other = record;
  for (std::size_t i = 0; i < record.layers.size(); ++i)
    other.layers[i].load = record.layers[i].load * strength[i];
  const Grid grid = grid_of(record);
  return {grid, look_on_grid(other, moment_finished(record), under, grid),
          Image<std::uint8_t>(grid.width, grid.height), under};
}

std::vector<double> strengths(const PlanRecord& record, std::size_t powder, double factor) {
  std::vector<double> all(record.layers.size(), 1);
  for (std::size_t i = 0; i < all.size(); ++i)
    if (record.layers[i].powder == powder)
      all[i] = factor;
  return all;
}

PieceComparison compared(const PlanRecord& record, const SeenPiece& seen) {
  return compare_piece(record, record.firing_plan.firings.size(), seen);
}

// The photo as a camera would give it: lighter all over, and with noise (standard deviation in L*).
void disturb(SeenPiece& seen, double exposure, double noise) {
  std::mt19937 random(7);
  for (std::size_t i = 0; i < seen.colour.size(); ++i) {
    // Sum of twelve even numbers: near a normal law, and the same with every library.
    double sum = -6;
    for (int k = 0; k < 12; ++k)
      sum += static_cast<double>(random()) / 4294967296.0;
    Lab lab = to_lab(seen.colour[i]);
    lab.l = std::max(1.0, lab.l + noise * sum);
    const Xyz xyz = to_xyz(lab);
    seen.colour[i] = {xyz.x * exposure, xyz.y * exposure, xyz.z * exposure};
  }
}

void expect_found(const PieceComparison& found, std::size_t powder, double factor, const std::string& how) {
  ASSERT_EQ(found.powders.size(), 3u);
  for (const PowderFinding& finding : found.powders) {
    const double truth = finding.powder == powder ? factor : 1;
    EXPECT_NEAR(finding.factor, truth, found_within)
        << how << ": " << plan().palette.powders[finding.powder].id << " where "
        << plan().palette.powders[powder].id << " is " << factor;
    EXPECT_EQ(is_told(finding), finding.powder == powder)
        << how << ": " << finding.factor << " +- " << finding.off_by;
  }
}

TEST(ComparePiece, AsPlannedIsAsPlanned) {
  const PieceComparison found = compared(plan(), piece_of(plan(), strengths(plan(), 0, 1)));
  EXPECT_LT(found.mean_de00, 0.01);
  EXPECT_LT(found.explained_de00, 0.05);
  ASSERT_EQ(found.powders.size(), 3u);
  for (const PowderFinding& finding : found.powders) {
    EXPECT_NEAR(finding.factor, 1, 0.005);
    EXPECT_FALSE(is_told(finding));
  }
  EXPECT_EQ(found.strength.size(), plan().layers.size());
  EXPECT_EQ(found.layers.size(), plan().layers.size());
}

// A photo that tells nothing leaves what the scale says; one that tells outweighs it.
TEST(ComparePiece, TheScaleSaysWhatThePhotoLeavesOpen) {
  SeenPiece seen = piece_of(plan(), strengths(plan(), 0, 1));
  const SeenPiece dark = [&] {
    SeenPiece none = seen;
    for (std::size_t i = 0; i < none.untrusted.size(); ++i)
      none.untrusted[i] = 1;
    return none;
  }();
  Weighed scale(plan().layers.size());
  const std::size_t powder = plan().layers[0].powder;
  scale[0] = 1.2;
  const auto of = [&](const PieceComparison& found, std::size_t wanted) {
    for (const PowderFinding& finding : found.powders)
      if (finding.powder == wanted)
        return finding;
    return PowderFinding{};
  };
  const std::size_t firings = plan().firing_plan.firings.size();
  const PieceComparison unseen = compare_piece(plan(), firings, dark, scale);
  EXPECT_NEAR(unseen.strength[0], 1.2, 1e-9);
  EXPECT_EQ(unseen.strength[1], 1);
  EXPECT_EQ(of(unseen, powder).weighed, 1.2) << "of the layers that were weighed";
  const PieceComparison told = compare_piece(plan(), firings, seen, scale);
  EXPECT_NEAR(of(told, powder).factor, 1, 0.06);
  for (const PowderFinding& finding : told.powders)
    EXPECT_EQ(finding.weighed.has_value(), finding.powder == powder);
}

TEST(ComparePiece, EachPowderIsFoundHeavierAndLighter) {
  for (std::size_t powder = 0; powder < 3; ++powder) {
    for (const double factor : {0.8, 1.2}) {
      const PieceComparison found = compared(plan(), piece_of(plan(), strengths(plan(), powder, factor)));
      expect_found(found, powder, factor, "as it is");
      EXPECT_LT(found.explained_de00, 0.4 * found.mean_de00);
      for (std::size_t i = 0; i < plan().layers.size(); ++i)
        if (plan().layers[i].powder == powder) {
          EXPECT_NEAR(found.strength[i], factor, 2 * found_within) << "layer " << i;
        }
    }
  }
}

TEST(ComparePiece, ExposureAndNoiseDoNotHurt) {
  for (const double exposure : {0.98, 1.02}) {
    SeenPiece seen = piece_of(plan(), strengths(plan(), 1, 1.2));
    disturb(seen, exposure, 1);
    expect_found(compared(plan(), seen), 1, 1.2, "exposed");
  }
}

TEST(ComparePiece, AShiftIsTakenOut) {
  const PlanRecord& record = plan();
  SeenPiece seen = piece_of(record, strengths(record, 1, 1.2));
  const int shift = static_cast<int>(std::lround(2 / seen.grid.pitch.value()));
  ASSERT_EQ(shift, 2);
  SeenPiece moved = seen;
  for (int y = 0; y < seen.grid.height; ++y)
    for (int x = 0; x < seen.grid.width; ++x) {
      const bool inside = x >= shift && y >= shift;
      moved.colour.at(x, y) = seen.colour.at(std::max(0, x - shift), std::max(0, y - shift));
      moved.untrusted.at(x, y) = inside ? 0 : 1;
    }
  const PieceComparison at_its_place = compared(record, seen), found = compared(record, moved);
  EXPECT_NEAR(found.mean_de00, at_its_place.mean_de00, 0.3);
  expect_found(found, 1, 1.2, "shifted");
  EXPECT_EQ(found.counts.at(seen.grid.width - 1, seen.grid.height - 1), 0) << "the photo ends there now";
  EXPECT_EQ(found.counts.at(1, 1), 1);
}

TEST(ComparePiece, WhatThePieceLiesOnIsSeenThroughIt) {
  // On grey instead of white paper, and told so.
  const SeenPiece grey = piece_of(plan(), strengths(plan(), 0, 1), Spectrum::constant(0.3));
  EXPECT_LT(compared(plan(), grey).mean_de00, 0.01);
  SeenPiece told_wrong = grey;
  told_wrong.under = Spectrum::constant(0.85);
  EXPECT_GT(compared(plan(), told_wrong).mean_de00, 2);
}

TEST(ComparePiece, UntrustedPlacesSayNothing) {
  SeenPiece seen = piece_of(plan(), strengths(plan(), 0, 1));
  for (int y = 0; y < seen.grid.height; ++y)
    for (int x = 0; x < seen.grid.width / 3; ++x) {
      seen.colour.at(x, y) = {2, 2, 2};  // glare
      seen.untrusted.at(x, y) = 1;
    }
  const PieceComparison found = compared(plan(), seen);
  EXPECT_LT(found.mean_de00, 0.1);
  EXPECT_LT(found.p95_de00, 0.1);
  for (const PowderFinding& finding : found.powders)
    EXPECT_NEAR(finding.factor, 1, 0.02);
  for (int y = 0; y < seen.grid.height; ++y)
    for (int x = 0; x < seen.grid.width / 3; ++x)
      ASSERT_EQ(found.counts.at(x, y), 0);
}

TEST(ComparePiece, APhotoThatShowsNothingTellsNothing) {
  SeenPiece seen = piece_of(plan(), strengths(plan(), 0, 1));
  for (std::size_t i = 0; i < seen.untrusted.size(); ++i)
    seen.untrusted[i] = 1;
  const PieceComparison found = compared(plan(), seen);
  EXPECT_EQ(found.mean_de00, 0);
  ASSERT_EQ(found.powders.size(), 3u);
  for (const PowderFinding& finding : found.powders) {
    EXPECT_EQ(finding.factor, 1);
    EXPECT_EQ(in_words(finding), "the photo does not tell");
  }
  for (const LayerFinding& layer : found.layers)
    EXPECT_TRUE(layer.regions.empty());
}

// Green only below red that hides it.
TEST(ComparePiece, AHiddenPowderIsNotTold) {
  const PlanRecord hidden = fixture::record(96, 72, Millimetres(0.5), [](Separation& separation) {
    separation.choice = {nest_of(1, {Load(0.05)}), nest_of(2, {Load(0.45)}), nest_of(0, {Load(0.1)})};
    separation.labels = {{0, 0, 0}, {1, 1, 0}, {0, 0, 1}};
    for (std::size_t i = 0; i < separation.label_at.size(); ++i) {
      const int x = static_cast<int>(i) % separation.grid.width;
      separation.label_at[i] = x < 32 ? 0 : x < 64 ? 1 : 2;
    }
  });
  const PieceComparison found = compared(hidden, piece_of(hidden, strengths(hidden, 1, 1.2)));
  const auto of = [&](std::size_t powder) {
    for (const PowderFinding& finding : found.powders)
      if (finding.powder == powder)
        return finding;
    return PowderFinding{};
  };
  EXPECT_EQ(in_words(of(1)), "the photo does not tell") << of(1).factor << " +- " << of(1).off_by;
  EXPECT_NE(in_words(of(0)), "the photo does not tell") << of(0).factor << " +- " << of(0).off_by;
}

TEST(ComparePiece, OnlyWhatIsFiredByThenIsJudged) {
  const PlanRecord& record = plan();
  ASSERT_GE(record.firing_plan.firings.size(), 2u);
  const Grid grid = grid_of(record);
  const Spectrum paper = Spectrum::constant(0.85);
  const SeenPiece seen{grid, look_on_grid(record, moment_after(0), paper, grid),
                       Image<std::uint8_t>(grid.width, grid.height), paper};
  const PieceComparison found = compare_piece(record, 1, seen);
  EXPECT_LT(found.mean_de00, 0.01);
  for (const LayerFinding& layer : found.layers)
    EXPECT_EQ(record.firing_plan.places[layer.layer].firing, 0u);
  EXPECT_EQ(found.layers.size(), record.firing_plan.firings[0].layers.size());
  for (std::size_t i = 0; i < record.layers.size(); ++i)
    if (record.firing_plan.places[i].firing > 0) {
      EXPECT_EQ(found.strength[i], 1);
    }
}

TEST(ComparePiece, RegionsSayWhereItIsDarker) {
  // One layer of the green is heavier alone.
  const PlanRecord& record = plan();
  std::vector<double> strength(record.layers.size(), 1);
  std::size_t heavy = 0;
  while (record.layers[heavy].powder != 1)
    ++heavy;
  strength[heavy] = 1.5;
  const PieceComparison found = compared(record, piece_of(record, strength));
  const auto worst = std::max_element(
      found.layers.begin(), found.layers.end(),
      [](const LayerFinding& a, const LayerFinding& b) { return a.mean_de00 < b.mean_de00; });
  EXPECT_EQ(record.layers[worst->layer].powder, 1u);
  EXPECT_LT(worst->lighter, -1);
  ASSERT_FALSE(worst->regions.empty());
  EXPECT_LT(worst->regions[0].lighter, -1);
}

TEST(ComparePiece, IsTheSameForAnyNumberOfThreads) {
  const SeenPiece seen = piece_of(plan(), strengths(plan(), 1, 1.2));
  const auto by = [&](unsigned count) {
    const ThreadCount cap(count);
    return compared(plan(), seen);
  };
  const PieceComparison alone = by(1), together = by(3);
  EXPECT_EQ(alone.strength, together.strength);
  EXPECT_EQ(alone.mean_de00, together.mean_de00);
  for (std::size_t i = 0; i < alone.powders.size(); ++i)
    EXPECT_EQ(alone.powders[i].off_by, together.powders[i].off_by);
}

TEST(ComparisonPitch, IsAMillimetreOrMore) {
  PlanRecord record;
  record.width = Millimetres(120);
  record.height = Millimetres(90);
  record.separation.grid.pitch = Millimetres(0.3);
  EXPECT_EQ(comparison_pitch(record), Millimetres(1));
  record.separation.grid.pitch = Millimetres(1.5);
  EXPECT_EQ(comparison_pitch(record), Millimetres(1.5)) << "no finer than the plan";
  record.height = Millimetres(900);
  EXPECT_EQ(comparison_pitch(record), Millimetres(3)) << "300 points along are enough (ours)";
}

}  // namespace
}  // namespace powderplan
