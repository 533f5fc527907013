#include "app/summary.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

PlanRecord record() {
  PlanRecord plan;
  plan.title = "Avocet";
  plan.width = Millimetres(400);
  plan.height = Millimetres(299.75);
  plan.palette.sheets.resize(2);
  plan.palette.sheets[0].id = "clear";
  plan.palette.sheets[1].id = "white";
  plan.palette.powders.resize(2);
  plan.palette.powders[0].id = "tide-blue";
  plan.palette.powders[1].id = "reed-gold";
  plan.sheet = 1;
  plan.separation.choice = {nest_of(0, {Load(0.1)}), nest_of(1, {Load(0.1)})};
  plan.layers.resize(3);
  plan.firing_plan.firings.resize(2);
  plan.firing_plan.places.resize(3);
  plan.fidelity = {.mean_de00 = 3.21,
                   .p95_de00 = 7.08,
                   .seen_mean_de00 = 2.5,
                   .seen_from_mm = 1500,
                   .edge_mm = 1,
                   .flat_mean_de00 = 8.94,
                   .bound_mean_de00 = 1.66};
  plan.weights.totals = {{0, Grams(20), Grams(30), Grams(22), std::nullopt, Grams(0)},
                         {1, Grams(5.5), Grams(9.5), Grams(6.5), Grams(3), Grams(6.5)}};
  return plan;
}

constexpr const char* ending =
    "\nOpen out/worksheet.html at the bench: it goes step by step.\n"
    "Before you sift or fire: P100 or N95 respirator, local extraction, wet cleaning; mind cut edges and the "
    "hot "
    "kiln; one expansion family only; the glass maker's data and the kiln's manual come first.\n";

TEST(Summary, OfAPlanOnAGivenBase) {
  EXPECT_EQ(
      plan_summary(record(), "out"),
      std::string("Avocet, 400 x 299.75 mm\n\n"
                  "  base     white, as asked\n"
                  "  work     3 layers of 2 powders in 2 firings\n"
                  "  error    3.2 mean, 7.1 at the 95th percentile (CIEDE2000)\n"
                  "           8.9 with flat colours, one powder each, in as many layers\n"
                  "           1.7 would be the least this shelf can reach\n"
                  "           2.5 as seen from 1.5 m\n"
                  "  powder   25.5 g stays on the glass, 39.5 g leaves the sifter, 11.0 g of it comes back\n"
                  "  short    6.5 g of reed-gold\n") +
          ending);
}

TEST(Summary, SaysWhatThePieceIsCutInto) {
  PlanRecord plan = record();
  plan.separation.grid = {Millimetres(0.5), 800, 600};
  plan.panels.panels = {{0, 0, {0, 0, 425, 600}}, {0, 1, {425, 0, 800, 600}}};
  plan.panels.crossed = 12;
  plan.panels.crossed_if_even = 30;
  EXPECT_NE(plan_summary(plan, "out")
                .find("  panels   2: 212.5 x 300, 187.5 x 300 mm\n"
                      "           the cuts cross 12 changes of colour; as many evenly spaced would cross 30\n"
                      "           each with its own stencils and templates in panels/\n"),
            std::string::npos)
      << plan_summary(plan, "out");
  plan.panels.panels.resize(9, plan.panels.panels[0]);
  EXPECT_NE(plan_summary(plan, "out").find("212.5 x 300 mm and 3 more\n"), std::string::npos)
      << plan_summary(plan, "out");
}

TEST(Summary, SaysWhatIsDoneAlready) {
  PlanRecord plan = record();
  plan.firings_done = 1;
  EXPECT_NE(plan_summary(plan, "out")
                .find("  work     3 layers of 2 powders in 2 firings; 1 firing is done already\n"),
            std::string::npos)
      << plan_summary(plan, "out");
}

TEST(Summary, SaysWhyThisBaseAndWhatElseToKnow) {
  PlanRecord plan = record();
  plan.base_trials = {{"white", 3.3}, {"clear", 10.27}};
  plan.firing_plan.places[2].raised = true;
  plan.notes = {"no colour profile: taken as sRGB"};
  const std::string text = plan_summary(plan, "out");
  EXPECT_NE(text.find("  base     white, the best of 2 in a quick trial (mean error)\n"
                      "             white    3.3\n"
                      "             clear   10.3\n"
                      "  work     3 layers of 2 powders in 2 firings, 1 stencil on spacers\n"),
            std::string::npos)
      << text;
  EXPECT_NE(text.find("  note     no colour profile: taken as sRGB\n\nOpen out/"), std::string::npos) << text;
}

TEST(Summary, SaysWhatOtherNumbersOfFiringsCost) {
  PlanRecord plan = record();
  plan.firing_plan.least_firings = 2;
  plan.firing_trials = {{1, 0, 1, 3.42, 3.42}};
  EXPECT_EQ(plan_summary(plan, "out").find("quick trials"), std::string::npos);
  plan.firing_trials.push_back({2, 0, 2, 2.9, 2.9});
  plan.firing_trials.push_back({3, 0, 3, 2.7, 2.7});
  EXPECT_NE(plan_summary(plan, "out")
                .find("  work     3 layers of 2 powders in 2 firings\n"
                      "           no plan of these layers has fewer, with every stencil flat on the glass\n"
                      "  choice   about what other numbers of firings would cost (quick trials, mean error)\n"
                      "             firings  error\n"
                      "                   1    3.4\n"
                      "                   2    2.9  this plan\n"
                      "                   3    2.7\n"
                      "  error    3.2 mean, 7.1 at the 95th percentile (CIEDE2000)\n"
                      "           8.9 with flat"),
            std::string::npos)
      << plan_summary(plan, "out");
}

TEST(Summary, SaysWhatSpacersCost) {
  PlanRecord plan = record();
  plan.firing_plan.least_firings = 1;
  plan.firing_plan.places[2].raised = true;
  plan.fidelity.softened_mean_de00 = 3.48;
  plan.firing_trials = {{2, 1, 3, 2.9, 3.1}, {1, 0, 1, 13.4, 13.4}};
  EXPECT_NE(plan_summary(plan, "out")
                .find("  work     3 layers of 2 powders in 2 firings, 1 stencil on spacers\n"
                      "           fewer would take more stencils on spacers; at least 1 is needed\n"
                      "  choice   about what other numbers of firings would cost (quick trials, mean error)\n"
                      "             firings  on spacers  error  edges softened\n"
                      "                   1        none   13.4            13.4\n"
                      "                   2           1    2.9             3.1  this plan\n"
                      "  error    3.2 mean, 7.1 at the 95th percentile (CIEDE2000)\n"
                      "           3.5 mean with the edges softened where stencils stand on spacers\n"
                      "           8.9 with flat"),
            std::string::npos)
      << plan_summary(plan, "out");
}

TEST(Summary, SaysWhatIsLaidByHand) {
  PlanRecord plan = record();
  EXPECT_EQ(plan_summary(plan, "out").find("  fades"), std::string::npos);
  EXPECT_EQ(plan_summary(plan, "out").find("  lines"), std::string::npos);
  plan.layers[0].technique = Technique::fade;
  plan.layers[0].open = Image<std::uint8_t>(2, 2, 1);
  plan.layers[1].technique = Technique::fade;
  plan.layers[1].open = {};
  plan.layers[2].technique = Technique::line;
  plan.layers[2].lines = LinePlan{{LinePath{}, LinePath{}}, 1240, 10};
  const std::string text = plan_summary(plan, "out");
  EXPECT_NE(text.find("  fades    2 layers graded by hand, 1 without a template\n"
                      "  lines    2 lines by hand, 1.2 m\n"),
            std::string::npos)
      << text;
}

TEST(Summary, OfABareSheet) {
  PlanRecord plan = record();
  plan.layers.clear();
  plan.separation.choice.clear();
  plan.firing_plan = {};
  plan.weights = {};
  const std::string text = plan_summary(plan, "out");
  EXPECT_NE(text.find("  work     0 layers of 0 powders in 0 firings\n"), std::string::npos) << text;
}

TEST(Summary, SaysWhatIsToBeCut) {
  PlanRecord plan = record();
  plan.separation.grid = {Millimetres(1), 100, 50};
  for (const std::size_t i : {0, 2}) {
    plan.layers[i].amount = Image<Amount>(100, 50);
    CutStencil& cut = plan.layers[i].stencil.emplace();
    cut.effort.minutes = 50;
    cut.error_cm2 = 2;
    cut.shortest_error_cm2 = 5;
  }
  EXPECT_NE(plan_summary(plan, "out").find("  cut      2 stencils with 0 bridges, about 1 h 40 min\n  error"),
            std::string::npos);
  plan.bridges = 7;
  plan.layers[2].stencil->repeats.resize(1);
  EXPECT_NE(plan_summary(plan, "out")
                .find("  cut      2 stencils with 7 bridges, or in part 1 small template, about 1 h 40 min\n"
                      "           bridges cost 0.08 of the mean error; the shortest ones would cost 0.20\n"),
            std::string::npos);
}

}  // namespace
}  // namespace powderplan
