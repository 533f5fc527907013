#include "separation/map_tuning.h"

#include "separation/separate.h"
#include "shelf.h"

namespace powderplan {
namespace {

// A map whose left half is bare and whose right half carries one load of a powder, with the colours that
// `truth` gives it.
struct HalfAndHalf {
  Image<PackedLab> wanted{20, 10};
  ColourIndex index;
  LabelledChoice labelled;

  HalfAndHalf(const Dose& truth, const Dose& start) {
    labelled.choice = {nest_of(start.powder, {start.load})};
    labelled.labels = all_labels(labelled.choice, 3);
    labelled.label_at = Image<std::uint16_t>(20, 10);
    const Painter painter = small_painter();
    for (int y = 0; y < 10; ++y) {
      for (int x = 0; x < 20; ++x) {
        labelled.label_at.at(x, y) = x < 10 ? 0 : 1;
        wanted.at(x, y) = to_pixel(painter.lab(x < 10 ? Recipe{} : Recipe{truth}));
      }
    }
    index = index_colours(wanted, Image<std::uint8_t>(20, 10), 100);
  }
};

ChoiceLimits limits_of(const std::vector<std::size_t>& usable) {
  ChoiceLimits limits;
  limits.usable = usable;
  return limits;
}

TEST(TuneToMap, RecoversAKnownLoad) {
  for (const std::size_t powder : {black, red, blue}) {
    for (const double factor : {0.5, 0.8, 1.4, 2.0}) {
      const Load truth(0.06);
      HalfAndHalf job({powder, truth}, {powder, truth * factor});
      for (int round = 0; round < 4; ++round)
        tune_to_map(job.labelled, small_painter(), job.index, job.index.at, limits_of({powder}));
      ASSERT_EQ(job.labelled.choice.size(), 1u);
      EXPECT_EQ(job.labelled.choice[0].steps[0].powder, powder);
      EXPECT_NEAR(job.labelled.choice[0].steps[0].load / truth, 1, 0.05) << powder << ' ' << factor;
    }
  }
}

TEST(TuneToMap, PutsABetterPowderIntoTheSameMask) {
  HalfAndHalf job({red, Load(0.1)}, {blue, Load(0.1)});
  EXPECT_TRUE(
      tune_to_map(job.labelled, small_painter(), job.index, job.index.at, limits_of({blue, red, white})));
  EXPECT_EQ(job.labelled.choice[0].steps[0].powder, red);
}

TEST(TuneToMap, KeepsAForcedPowder) {
  HalfAndHalf job({red, Load(0.1)}, {blue, Load(0.1)});
  ChoiceLimits limits = limits_of({blue, red, white});
  limits.use = {blue};
  tune_to_map(job.labelled, small_painter(), job.index, job.index.at, limits);
  EXPECT_EQ(job.labelled.choice[0].steps[0].powder, blue);
}

TEST(TuneToMap, LeavesAPerfectFillingAlone) {
  HalfAndHalf job({red, Load(0.1)}, {red, Load(0.1)});
  const Choice before = job.labelled.choice;
  EXPECT_FALSE(tune_to_map(job.labelled, small_painter(), job.index, job.index.at, limits_of({red, blue})));
  EXPECT_EQ(job.labelled.choice, before);
}

TEST(TuneToMap, StaysWithinTheLoads) {
  HalfAndHalf job({black, Load(0.5)}, {black, Load(0.1)});
  ChoiceLimits limits = limits_of({black});
  limits.most_load = Load(0.12);
  for (int round = 0; round < 3; ++round) {
    tune_to_map(job.labelled, small_painter(), job.index, job.index.at, limits);
    EXPECT_TRUE(allowed(job.labelled.choice, limits));
  }
}

// Black on white where white on black is wanted: the two change places and the labels follow.
TEST(TuneToMap, SwapsNeighboursInTheStack) {
  const Painter painter = small_painter();
  LabelledChoice labelled;
  labelled.choice = {nest_of(white, {Load(0.4)}), nest_of(black, {Load(0.1)})};
  labelled.labels = all_labels(labelled.choice, 2);
  labelled.label_at = Image<std::uint16_t>(12, 8);
  Image<PackedLab> wanted(12, 8);
  const Choice truth{nest_of(black, {Load(0.1)}), nest_of(white, {Load(0.4)})};
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const std::uint16_t label = static_cast<std::uint16_t>(i % 12 / 3);
    labelled.label_at[i] = label;
    const Tones& tones = labelled.labels[label];
    wanted[i] = to_pixel(painter.lab(recipe_of(truth, {tones[1], tones[0]})));
  }
  const ColourIndex index = index_colours(wanted, Image<std::uint8_t>(12, 8), 100);
  EXPECT_TRUE(tune_to_map(labelled, painter, index, index.at, limits_of({white, black})));
  ASSERT_EQ(labelled.choice.size(), 2u);
  EXPECT_EQ(labelled.choice[0].steps[0].powder, black);
  EXPECT_EQ(labelled.labels, all_labels(labelled.choice, 3));
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const Lab now = painter.lab(recipe_of(labelled.choice, labelled.labels[labelled.label_at[i]]));
    EXPECT_NEAR(now.l, wanted[i].l(), 3);
  }
}

TEST(TuneToMap, OfNoPowdersOrBareSheet) {
  LabelledChoice none{{}, {Tones{}}, Image<std::uint16_t>(3, 3)};
  const ColourIndex index = index_colours(Image<PackedLab>(3, 3), Image<std::uint8_t>(3, 3, 1), 10);
  EXPECT_FALSE(tune_to_map(none, small_painter(), index, index.at, limits_of({red})));
}

}  // namespace
}  // namespace powderplan
