#include "report/proof_words.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(ProofWords, SayWhatThePieceIs) {
  PlanRecord plan = fixture::record(160, 96);
  EXPECT_EQ(proof_words(plan).piece, "80 \u00d7 48 mm, on Clear sheet glass 3 mm thick, to hang on a wall");
  plan.view = View::window;
  EXPECT_TRUE(holds(proof_words(plan).piece, "in a window"));
  EXPECT_TRUE(holds(proof_words(plan).agreed, "in a window"));
}

TEST(ProofWords, NameEachPowderOnceAndCountLayersAndFirings) {
  const PlanRecord plan = fixture::record();
  const std::string making = proof_words(plan).making;
  EXPECT_TRUE(holds(making, "Dune White, @Kelp, \"green\" and " + fixture::wild_name)) << making;
  EXPECT_TRUE(holds(making, "4 layers")) << making;
  EXPECT_TRUE(holds(making, std::to_string(plan.firing_plan.firings.size()) + " firings")) << making;
}

TEST(ProofWords, LeaveRoomOnThePageHoweverLongOrManyTheNamesAre) {
  PlanRecord plan = fixture::record();
  const Powder like = plan.palette.powders[0];
  for (int i = 0; i < 30; ++i) {
    plan.palette.powders.push_back(like);
    plan.palette.powders.back().name = std::to_string(i) + std::string(500, 'x');
    plan.layers.push_back(plan.layers[0]);
    plan.layers.back().powder = plan.palette.powders.size() - 1;
  }
  const std::string making = proof_words(plan).making;
  EXPECT_LT(making.size(), 1000U);
  EXPECT_TRUE(holds(making, "22 more")) << making;
}

TEST(ProofWords, TellTheFinishOfTheLastFiring) {
  PlanRecord plan = fixture::record();
  plan.firing_plan.firings.back().finish = Finish::tack;
  EXPECT_TRUE(holds(proof_words(plan).making, "texture"));
  plan.firing_plan.firings.back().finish = Finish::full;
  EXPECT_TRUE(holds(proof_words(plan).making, "glossy"));
}

TEST(ProofWords, TellHowNearColoursComeWithoutAnyFormula) {
  PlanRecord plan = fixture::record();
  plan.fidelity = {};
  plan.fidelity.expected_de00 = 1.4;
  plan.fidelity.mean_de00 = 2.5;
  plan.fidelity.p95_de00 = 12;
  const std::string colour = proof_words(plan).colour;
  EXPECT_TRUE(holds(colour, how_far_apart(1.4)));
  EXPECT_TRUE(holds(colour, how_far_apart(2.5)));
  EXPECT_TRUE(holds(colour, "at one spot in twenty strong"));
  EXPECT_FALSE(holds(colour, "CIE"));
  EXPECT_FALSE(holds(colour, "12"));
}

TEST(ProofWords, TellOfBridgesWhereThereAreAny) {
  PlanRecord plan = fixture::record();
  plan.bridges = 0;
  EXPECT_FALSE(holds(proof_words(plan).by_hand, "Narrow bars"));
  plan.bridges = 3;
  EXPECT_TRUE(holds(proof_words(plan).by_hand, "Narrow bars"));
}

TEST(ProofWords, PromiseNothingThatIsNotKnown) {
  PlanRecord plan = fixture::record();
  plan.fidelity = {};
  const std::string colour = proof_words(plan).colour;
  EXPECT_FALSE(holds(colour, how_far_apart(0)));
  EXPECT_FALSE(holds(colour, "twenty"));
}

TEST(ProofWords, AFartherColourIsNeverCalledNearer) {
  const double steps[] = {0.5, 1.5, 3, 4, 7, 20};
  for (std::size_t i = 1; i < std::size(steps); ++i)
    EXPECT_NE(how_far_apart(steps[i - 1]), how_far_apart(steps[i]));
  EXPECT_EQ(how_far_apart(0.5), "too small to be seen");
  EXPECT_EQ(how_far_apart(20), "strong");
}

TEST(ProofWords, OfABareSheet) {
  PlanRecord plan = fixture::record();
  plan.layers.clear();
  EXPECT_TRUE(holds(proof_words(plan).making, "nothing is laid on it"));
}

}  // namespace
}  // namespace powderplan
