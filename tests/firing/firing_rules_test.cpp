// What layers drawn by hand ask of their firings.
#include "firing/firing_rules.h"

#include <algorithm>

#include "firing/drawn_layers.h"
#include "shelf.h"

namespace powderplan {
namespace {

FiringTask task_of(const std::vector<Layer>& layers, const FiringLimits& limits = {}) {
  return firing_task(layers, limits, {});
}

TEST(FiringRules, OfNoLayersAskNothing) {
  const FiringTask task = task_of({});
  EXPECT_EQ(task.layers, 0u);
  EXPECT_TRUE(task.heavy_spots.empty());
}

TEST(FiringRules, WhatOverlapsKeepsItsOrder) {
  const Layer left = drawn_layer(white, {"##.."}), right = drawn_layer(black, {".##."}),
              far = drawn_layer(red, {"...#"});
  const FiringTask task = task_of({left, right, far});
  EXPECT_EQ(task.above[0], 0u);
  EXPECT_EQ(task.above[1], only(0));
  EXPECT_EQ(task.above[2], 0u) << "lies on neither";
}

TEST(FiringRules, LayersOfOnePowderGoInAnyOrder) {
  EXPECT_EQ(task_of({drawn_layer(white, {"##"}), drawn_layer(white, {"#."})}).above[1], 0u);
}

TEST(FiringRules, AScratchKeepsItsPlaceAmongAll) {
  std::vector<Layer> layers{drawn_layer(white, {"#.."}), drawn_layer(white, {".#."}),
                            drawn_layer(red, {"..#"})};
  layers[1].scratched.emplace();
  const FiringTask task = task_of(layers);
  EXPECT_EQ(task.above[1], only(0));
  EXPECT_EQ(task.above[2], only(1));
}

TEST(FiringRules, ATemplateTouchesThePowderUnderItsClosedParts) {
  const Layer small = drawn_layer(white, {".#.."}), large = drawn_layer(black, {"###."}),
              beside = drawn_layer(red, {"...#"});
  const FiringTask task = task_of({small, large, beside});
  EXPECT_EQ(task.touches[0], only(1) | only(2));
  EXPECT_EQ(task.touches[1], only(2)) << "the small one lies in its opening";
  EXPECT_EQ(task.touches[2], only(0) | only(1));
}

TEST(FiringRules, WhatBridgesCloseIsTouchedToo) {
  const Layer below = drawn_layer(white, {"####"}), open = drawn_layer(black, {"#..#"}, {"####"}),
              bridged = drawn_layer(black, {"#..#"}, {"#.##"});
  EXPECT_EQ(task_of({below, open}).touches[1], 0u) << "what counts is the opening, not the powder";
  EXPECT_EQ(task_of({below, bridged}).touches[1], only(0));
}

TEST(FiringRules, WithoutATemplateNothingIsTouched) {
  const FiringTask task = task_of({without_template(drawn_layer(white, {"#."})), drawn_layer(black, {".#"})});
  EXPECT_EQ(task.touches[0], 0u);
  EXPECT_EQ(task.touches[1], only(0)) << "but its powder is";
}

TEST(FiringRules, PairsStayApartOnOrBesideEachOther) {
  FiringLimits limits;
  limits.apart = {{black, white}};
  const Layer corner = drawn_layer(white, {"#...", "....", "...."});
  const auto apart = [&](const std::vector<std::string>& other, std::size_t powder = black) {
    const FiringTask task = task_of({corner, drawn_layer(powder, other)}, limits);
    EXPECT_EQ(task.never_with[0] == only(1), task.never_with[1] == only(0)) << "each from the other";
    return task.never_with[0] != 0;
  };
  EXPECT_TRUE(apart({"##..", "....", "...."})) << "on it";
  EXPECT_TRUE(apart({".#..", "....", "...."})) << "right of it";
  EXPECT_TRUE(apart({"....", "#...", "...."})) << "below it";
  EXPECT_FALSE(apart({"....", ".#..", "...."})) << "corner to corner";
  EXPECT_FALSE(apart({"..##", "####", "####"}, red)) << "no pair";
  EXPECT_FALSE(apart({"..##", "....", "####"})) << "bare sheet between them";
  const FiringTask turned = task_of({drawn_layer(black, {"..#."}), drawn_layer(white, {".#.#"})}, limits);
  EXPECT_EQ(turned.never_with[0], only(1)) << "left of it";
}

TEST(FiringRules, HotterLayersAreFiredBefore) {
  FiringLimits limits;
  limits.finish = Finish::contour;
  limits.other = {{black, Finish::tack}, {red, Finish::full}};
  // Wherever they lie.
  const FiringTask task = task_of({drawn_layer(white, {"#.."}), drawn_layer(black, {".#."}),
                                   drawn_layer(red, {"..#"}), drawn_layer(white, {"..#"})},
                                  limits);
  EXPECT_EQ(task.fired_before[0], only(2));
  EXPECT_EQ(task.fired_before[1], only(0) | only(2) | only(3));
  EXPECT_EQ(task.fired_before[2], 0u);
  EXPECT_EQ(task.fired_before[3], only(2));
  EXPECT_EQ(task_of({drawn_layer(white, {"#."}), drawn_layer(black, {".#"})}).fired_before[1], 0u)
      << "all alike";
}

TEST(FiringRules, AFixedPowderIsFixedInAllItsLayers) {
  FiringLimits limits;
  limits.fixed = {{white, 2}, {red, 1}};
  const FiringTask task =
      task_of({drawn_layer(white, {"#."}), drawn_layer(black, {"##"}), drawn_layer(white, {"##"})}, limits);
  EXPECT_EQ(task.fixed, (std::vector<std::optional<int>>{2, std::nullopt, 2}));
}

TEST(FiringRules, SofteningIsWhatIsGivenOrTheOutline) {
  const std::vector<Layer> layers{drawn_layer(white, {"....", ".##.", "...."}),
                                  without_template(drawn_layer(black, {"####", "####", "####"}))};
  const FiringTask by_outline = task_of(layers);
  EXPECT_EQ(by_outline.softening[0], 6 * 1000);
  EXPECT_EQ(by_outline.softening[1], 0);
  const std::vector<double> given{0.25, 3.0004};
  EXPECT_EQ(firing_task(layers, {}, given).softening, (std::vector<std::int64_t>{250, 3000}));
}

std::vector<std::vector<double>> sorted_loads(const FiringTask& task) {
  std::vector<std::vector<double>> spots;
  for (const std::vector<Load>& spot : task.heavy_spots) {
    std::vector<double>& loads = spots.emplace_back();
    for (const Load load : spot)
      loads.push_back(load.value());
  }
  std::sort(spots.begin(), spots.end());
  return spots;
}

TEST(HeavySpots, AreThoseAboveTheLimitThatNoOtherOutweighs) {
  FiringLimits limits;
  limits.most_loose_load = Load(0.3);
  // From the left: one alone; two of 0.3 together, which is allowed; two heavier ones; all, which outweighs.
  std::vector<Layer> layers{drawn_layer(white, {"##.#"}, {}, Load(0.1)),
                            drawn_layer(black, {".###"}, {}, Load(0.2)),
                            drawn_layer(red, {"..##"}, {}, Load(0.25))};
  EXPECT_EQ(sorted_loads(task_of(layers, limits)), (std::vector<std::vector<double>>{{0.1, 0.2, 0.25}}));
  // Where a third less of one lies, neither outweighs the other.
  layers[1].amount[3] = whole_amount / 3;
  const auto spots = sorted_loads(task_of(layers, limits));
  ASSERT_EQ(spots.size(), 2u);
  EXPECT_EQ(spots[0], (std::vector<double>{0, 0.2, 0.25}));
  EXPECT_EQ(spots[1][0], 0.1);
  EXPECT_NEAR(spots[1][1], 0.2 / 3, 1e-12);
  limits.most_loose_load = Load(0.55);
  EXPECT_TRUE(task_of(layers, limits).heavy_spots.empty());
  EXPECT_EQ(task_of(layers, limits).most_loose_load, Load(0.55));
}

// Three layers of 0.5 g/cm2 over a row of spots of which none outweighs another: all weigh alike.
std::vector<Layer> crossing(std::size_t spots) {
  const std::string row(spots, '#');
  std::vector<Layer> layers{drawn_layer(white, {row}, {}, Load(0.5)),
                            drawn_layer(black, {row}, {}, Load(0.5)), drawn_layer(red, {row}, {}, Load(0.5))};
  for (std::size_t i = 0; i < spots; ++i) {
    layers[0].amount[i] = static_cast<Amount>(100 + i % 60);
    layers[1].amount[i] = static_cast<Amount>(100 + i / 60);
    layers[2].amount[i] = static_cast<Amount>(400 - layers[0].amount[i] - layers[1].amount[i]);
  }
  return layers;
}

TEST(HeavySpots, AreExactUpToTheirNumberAndRoundedUpBeyond) {
  FiringLimits limits;
  limits.most_loose_load = Load(0.6);
  EXPECT_EQ(task_of(crossing(most_heavy_spots), limits).heavy_spots.size(), most_heavy_spots);

  const std::vector<Layer> layers = crossing(most_heavy_spots + 1);
  const FiringTask task = task_of(layers, limits);
  EXPECT_LE(task.heavy_spots.size(), 15u * 15u);
  const auto load_at = [&](std::size_t layer, std::size_t point) {
    return layers[layer].load.value() * layers[layer].amount[point] / whole_amount;
  };
  // Nothing that lies anywhere is forgotten ...
  for (std::size_t point = 0; point < layers[0].amount.size(); ++point) {
    EXPECT_TRUE(std::any_of(task.heavy_spots.begin(), task.heavy_spots.end(), [&](const auto& spot) {
      return spot[0].value() >= load_at(0, point) - 1e-12 && spot[1].value() >= load_at(1, point) - 1e-12 &&
             spot[2].value() >= load_at(2, point) - 1e-12;
    })) << point;
  }
  // ... and nothing is thought heavier than by less than a fifteenth of each layer's load.
  for (const std::vector<Load>& spot : task.heavy_spots) {
    bool near = false;
    for (std::size_t point = 0; point < layers[0].amount.size(); ++point)
      near =
          near ||
          (spot[0].value() - load_at(0, point) < 0.5 / 15 && spot[1].value() - load_at(1, point) < 0.5 / 15 &&
           spot[0].value() >= load_at(0, point) - 1e-12 && spot[1].value() >= load_at(1, point) - 1e-12);
    EXPECT_TRUE(near);
    for (const Load load : spot)
      EXPECT_NEAR(load.value() * 30, std::round(load.value() * 30), 1e-9) << "fifteenths of 0.5";
  }
}

}  // namespace
}  // namespace powderplan
