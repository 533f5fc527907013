#include "report/reaction_words.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

TEST(ReactionsTold, AreLetteredLargestFirst) {
  const PlanRecord plan = fixture::record_with_reactions();
  const std::vector<MarkedMeeting> marked = marked_meetings(plan);
  ASSERT_GE(marked.size(), 2u);
  EXPECT_EQ(marked[0].letter, "A");
  EXPECT_EQ(marked[1].letter, "B");
  std::size_t before = plan.spots.at().size();
  for (const MarkedMeeting& pair : marked) {
    std::size_t points = 0;
    for (std::size_t i = 0; i < pair.meeting->where.size(); ++i)
      points += pair.meeting->where[i] != 0 ? 1 : 0;
    EXPECT_LE(points, before);
    EXPECT_GT(points, 0u);
    before = points;
  }
}

TEST(ReactionsTold, GoOnBeyondZ) {
  PlanRecord plan = fixture::record();
  for (int i = 0; i < 54; ++i)
    plan.meetings.push_back({{0, 2, {}, {"lead"}}, Millimetres(5), 0, Image<std::uint8_t>(4, 4, 1)});
  const std::vector<MarkedMeeting> marked = marked_meetings(plan);
  ASSERT_EQ(marked.size(), 54u);
  EXPECT_EQ(marked[25].letter, "Z");
  EXPECT_EQ(marked[26].letter, "AA");
  EXPECT_EQ(marked[51].letter, "AZ");
  EXPECT_EQ(marked[52].letter, "BA");
}

TEST(ReactionsTold, LeaveOutWhatIsTooLittle) {
  Meeting meeting;
  meeting.border = Millimetres(0.99);
  meeting.overlap_cm2 = 0.049;
  EXPECT_FALSE(worth_telling(meeting));
  EXPECT_EQ(extent_of(meeting), "nowhere to speak of");
  meeting.border = least_border_told;
  EXPECT_TRUE(worth_telling(meeting));
  EXPECT_EQ(extent_of(meeting), "1.0 mm side by side");
  meeting.overlap_cm2 = 4.21;
  EXPECT_EQ(extent_of(meeting), "1.0 mm side by side and 4.2 cm\u00b2 on one another");
  meeting.border = Millimetres(0);
  EXPECT_EQ(extent_of(meeting), "4.2 cm\u00b2 on one another");
}

TEST(ReactionsTold, KnowWhatIsAskedOfThem) {
  PlanRecord plan = fixture::record_with_reactions();
  EXPECT_EQ(wish_for(plan, {0, 2, {}, {}}), "avoid");  // priced the other way round
  EXPECT_EQ(wish_for(plan, {1, 2, {}, {}}), "");
  EXPECT_EQ(wish_for(plan, {0, {}, 0, {}}), "");
  plan.pair_prices[0].price = -3;
  EXPECT_EQ(wish_for(plan, {0, 2, {}, {}}), "wish");
}

TEST(ReactionsTold, AreNamed) {
  const PlanRecord plan = fixture::record_with_reactions();
  EXPECT_EQ(names_of(plan, {0, 2, {}, {}}, Naming::ids), "dune-white and rust-red");
  EXPECT_EQ(names_of(plan, {0, 2, {}, {}}, Naming::names), "Dune White and " + fixture::wild_name);
  EXPECT_EQ(names_of(plan, {0, {}, 0, {}}, Naming::names), "Dune White and the sheet Clear");
}

TEST(ReactionsTold, AreFoundByTheirPowders) {
  const PlanRecord plan = fixture::record_with_reactions();
  EXPECT_EQ(meeting_between(plan, 2, 0), &plan.meetings[0]);
  EXPECT_EQ(meeting_between(plan, 0, 1), nullptr);
}

TEST(MismatchesOfAPlan, AreThoseOfGlassesInIt) {
  PlanRecord plan = fixture::record();
  plan.palette.powders.push_back(plan.palette.powders[0]);
  plan.palette.powders[3].expansion_per_k = 9.5e-6;  // on the shelf, not in the plan
  EXPECT_TRUE(mismatches_in(plan).empty());
  plan.palette.powders[1].expansion_per_k = 9.1e-6;
  EXPECT_EQ(mismatches_in(plan).size(), 3u);
}

}  // namespace
}  // namespace powderplan
