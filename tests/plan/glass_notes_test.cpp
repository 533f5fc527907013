#include "plan/glass_notes.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

using Notes = std::vector<std::string>;

// Dune-white and rust-red meet as told; dune-white costs or gains something with them.
PlanRecord record(Millimetres border, double price) {
  PlanRecord plan = fixture::record();
  plan.meetings = {{{0, 2, {}, {"copper"}}, border, 0, Image<std::uint8_t>(64, 48, meets_beside)}};
  if (price != 0)
    plan.pair_prices = {{0, 2, price}};
  return plan;
}

const std::string told =
    "dune-white and rust-red darken where they meet (previews/reactions.png): fire a test first";

TEST(GlassNotes, AreNoneWhereNothingReactsOrDiffers) {
  EXPECT_TRUE(glass_notes(fixture::record()).empty());
  EXPECT_TRUE(glass_notes(record(Millimetres(0.2), 0)).empty());
}

TEST(GlassNotes, NameOnePairAndCountMore) {
  EXPECT_EQ(glass_notes(record(Millimetres(12), 0)), Notes{told});
  PlanRecord two = record(Millimetres(12), 0);
  two.meetings.push_back(two.meetings[0]);
  EXPECT_EQ(glass_notes(two),
            Notes{"2 pairs of glasses darken where they meet (previews/reactions.png): fire tests first"});
}

TEST(GlassNotes, SayWhatDidNotComeAsAsked) {
  EXPECT_EQ(glass_notes(record(Millimetres(12), 10)),
            (Notes{"dune-white and rust-red are to keep apart and still meet, 12 mm side by side: --without "
                   "dune-white or --without rust-red would keep them apart",
                   told}));
  EXPECT_TRUE(glass_notes(record(Millimetres(0.2), 10)).empty());
  EXPECT_EQ(glass_notes(record(Millimetres(0.2), -3)),
            Notes{"dune-white and rust-red are wished to touch, and do so nowhere"});
  EXPECT_EQ(glass_notes(record(Millimetres(12), -3)), Notes{told});
  PlanRecord none = record(Millimetres(12), -3);
  none.meetings.clear();
  EXPECT_EQ(glass_notes(none),
            Notes{"dune-white and rust-red are wished to touch, but this plan has no more than one of "
                  "them: --use dune-white,rust-red takes both"});
}

TEST(GlassNotes, TellAMismatchAndWarnFromAThirdOfTheLimit) {
  PlanRecord plan = fixture::record();
  plan.palette.powders[1].expansion_per_k = 9.1e-6;  // 0.1e-6 * 460 = 46 ppm; 70 000 * 46e-6 / 0.8 MPa
  EXPECT_EQ(glass_notes(plan), Notes{"dune-white and kelp-green shrink differently by 46 ppm, 4.0 MPa"});
  plan.palette.sheets[0].expansion_per_k = 8.85e-6;  // 115 ppm from the green
  EXPECT_EQ(
      glass_notes(plan),
      Notes{"kelp-green and clear shrink differently by 115 ppm, 10 MPa: much, for above 300 ppm glass is "
            "likely to fracture (ASTM F144); fire a test, and keep it for weeks before you trust it"});
}

}  // namespace
}  // namespace powderplan
