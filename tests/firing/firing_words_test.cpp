// Every sentence that says why, once, on plans made by hand.
#include "firing/firing_words.h"

#include "firing/drawn_layers.h"
#include "shelf.h"

namespace powderplan {
namespace {

// A plan of these firings, its layers named by their places.
FiringPlan plan_of(const std::vector<std::vector<std::size_t>>& firings) {
  FiringPlan plan;
  std::size_t layers = 0;
  for (const std::vector<std::size_t>& firing : firings) {
    plan.firings.emplace_back().layers = firing;
    layers += firing.size();
  }
  plan.places.resize(layers);
  for (std::size_t f = 0; f < firings.size(); ++f) {
    for (const std::size_t layer : firings[f])
      plan.places[layer].firing = f;
  }
  return plan;
}

std::vector<Layer> stencils(std::size_t count) {
  return std::vector<Layer>(count, drawn_layer(white, {"#."}));
}

struct Said {
  std::vector<std::string> layers, firings;
};
Said said(FiringPlan plan, const FiringTask& task, const std::vector<Layer>& layers) {
  say_why(plan, layers, task);
  Said words;
  for (const LayerPlace& place : plan.places)
    words.layers.push_back(place.why);
  for (const Firing& firing : plan.firings)
    words.firings.push_back(firing.why);
  return words;
}

TEST(FiringWords, OfOneFiring) {
  std::vector<Layer> layers = stencils(4);
  layers[2].technique = Technique::line;
  layers[3] = without_template(layers[3]);
  const Said words = said(plan_of({{0, 1, 2, 3}}), empty_task(4), layers);
  EXPECT_EQ(words.layers[0], "It lies at the bottom, so it goes first.");
  EXPECT_EQ(words.layers[1],
            "All loose powder laid so far lies inside its opening, so it can follow in the same firing.");
  EXPECT_EQ(words.layers[2],
            "Lines need no stencil that would rest on loose powder, so they follow in the same firing.");
  EXPECT_EQ(words.layers[3],
            "It needs no stencil that would rest on loose powder, so it follows in the same firing.");
  EXPECT_EQ(words.firings, (std::vector<std::string>{"Everything can be laid in one go."}));
}

TEST(FiringWords, OfARaisedStencilNameTheLastThatLiesLooseUnderIt) {
  FiringPlan plan = plan_of({{2, 0, 1}});
  plan.places[1].raised = true;
  FiringTask task = empty_task(3);
  task.touches[1] = only(0) | only(2);
  EXPECT_EQ(said(plan, task, stencils(3)).layers[1],
            "Its stencil would rest on the loose powder of step 2, so it stands on spacers; its edges come "
            "out about 1 mm softer than shown.");
}

// One sentence for each rule that keeps the second layer out of the first firing.
TEST(FiringWords, OfWhatIsFiredFirst) {
  const auto second = [](const auto& change) {
    FiringTask task = empty_task(2);
    change(task);
    const Said words = said(plan_of({{0}, {1}}), task, stencils(2));
    EXPECT_EQ(words.firings[0], "What lies lowest comes first.");
    return words;
  };
  const Said fixed = second([](FiringTask& task) { task.fixed[1] = 2; });
  EXPECT_EQ(fixed.layers[1], "You asked for firing 2.");
  EXPECT_EQ(fixed.firings[1], "Needed by step 2: you asked for firing 2.");
  EXPECT_EQ(second([](FiringTask& task) { task.fired_before[1] = only(0); }).layers[1],
            "Step 1 is fired hotter than the texture of this layer bears, so that is fired first.");
  EXPECT_EQ(second([](FiringTask& task) { task.never_with[1] = only(0); }).layers[1],
            "It reacts with step 1 and must not lie loose with it, so that is fired first.");
  const Said loose = second([](FiringTask& task) { task.touches[1] = only(0); });
  EXPECT_EQ(loose.layers[1], "Its stencil would rest on the loose powder of step 1, so that is fired first.");
  EXPECT_EQ(
      loose.firings[1],
      "Needed by step 2: its stencil would rest on the loose powder of step 1, so that is fired first.");
  EXPECT_EQ(second([](FiringTask& task) {
              task.most_loose_load = Load(0.5);
              task.heavy_spots = {{Load(0.3), Load(0.21)}};
            }).layers[1],
            "With it more than 0.50 g/cm2 would lie loose in one place, so what lies is fired first.");
  EXPECT_EQ(second([](FiringTask& task) { task.touches[0] = only(1); }).layers[1],
            "In the firing before, the stencil of step 1 would rest on its loose powder, or it on that.");
  const Said free = second([](FiringTask&) {});
  EXPECT_EQ(free.layers[1], "It comes before what lies on it.");
  EXPECT_EQ(free.firings[1], "Without it an earlier firing would carry what must not lie loose together.");
}

TEST(FiringWords, OfAFixedFirstLayer) {
  FiringTask task = empty_task(1);
  task.fixed[0] = 1;
  EXPECT_EQ(said(plan_of({{0}}), task, stencils(1)).layers[0], "You asked for firing 1.");
}

TEST(FiringWords, OfAFiringForWhatLiesOnItsOtherLayers) {
  FiringTask task = empty_task(3);
  task.above[2] = only(1);
  const Said words = said(plan_of({{0}, {1, 2}}), task, stencils(3));
  EXPECT_EQ(words.firings[1], "Without it an earlier firing would carry what must not lie loose together.");
}

// The steps are counted on the bench, whatever the order in which the layers were given.
TEST(FiringWords, CountStepsOnTheBench) {
  FiringTask task = empty_task(3);
  task.touches[0] = only(1) | only(2);
  const Said words = said(plan_of({{2, 1}, {0}}), task, stencils(3));
  EXPECT_EQ(words.layers[0], "Its stencil would rest on the loose powder of step 2, so that is fired first.");
}

}  // namespace
}  // namespace powderplan
