#include "weigh/weigh.h"

#include <cmath>
#include <numbers>

#include "drawn_separation.h"
#include "masks.h"

namespace powderplan {
namespace {

Palette jars(std::initializer_list<std::optional<double>> stock) {
  Palette palette;
  for (const auto& grams : stock) {
    Powder& powder = palette.powders.emplace_back();
    if (grams)
      powder.stock = Grams(*grams);
  }
  return palette;
}

WeighRules rules_of(double margin, double comes_back) {
  WeighRules rules;
  rules.sweep_margin = Millimetres(margin);
  rules.comes_back = comes_back;
  return rules;
}

// A square of `side` mm in the middle of 200 x 200 mm.
Separation square(double side, double pitch, const std::vector<Load>& loads = {Load(0.1)}) {
  const int points = static_cast<int>(200 / pitch);
  return drawn_separation(
      {Millimetres(pitch), points, points}, {nest_of(0, loads)}, {{0}, {1}}, [&](int x, int y) {
        const double dx = std::abs((x + 0.5) * pitch - 100), dy = std::abs((y + 0.5) * pitch - 100);
        return std::max(dx, dy) < side / 2 ? 1 : 0;
      });
}

TEST(Weigh, LandsIsLoadTimesArea) {
  holds_always([] {
    const Choice choice{nest_of(1, {Load(any_decade_between(0.01, 0.3)), Load(0.05)}),
                        nest_of(0, {Load(any_decade_between(0.01, 0.7))})};
    const auto labels = all_labels(choice, 2);
    std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
    const Grid grid{Millimetres(any_decade_between(0.1, 5)), *rc::gen::inRange(1, 25),
                    *rc::gen::inRange(1, 25)};
    const Separation separation =
        drawn_separation(grid, choice, labels, [&](int, int) { return random() % labels.size(); });
    const auto layers = make_layers(separation);
    const WeighRules rules = rules_of(any_between(0, 20), any_between(0, 1));
    const Weights weights = weigh(separation, layers, jars({{}, {}}), rules);
    RC_ASSERT(weights.layers.size() == layers.size());
    RC_ASSERT(weights.totals.size() == choice.size());
    double all = 0;
    for (std::size_t i = 0; i < layers.size(); ++i) {
      const LayerWeights& w = weights.layers[i];
      const double lands = layers[i].load.value() * layers[i].area_cm2;
      RC_ASSERT(std::abs(w.lands.value() - lands) < 1e-9 * lands);
      RC_ASSERT(w.capture > 0 && w.capture <= 1 + 1e-9);
      RC_ASSERT(std::abs(w.sift.value() * w.capture - lands) < 1e-9 * lands);
      RC_ASSERT(std::abs((w.sift - w.lands - w.overspill).value()) < 1e-9);
      double regions = 0;
      for (const Grams& grams : w.region_lands)
        regions += grams.value();
      RC_ASSERT(w.region_lands.size() == layers[i].regions.size());
      RC_ASSERT(std::abs(regions - lands) < 1e-9 * lands);
      all += lands;
    }
    // Point by point: what each recipe carries.
    double by_points = 0;
    for (std::size_t i = 0; i < separation.label_at.size(); ++i) {
      for (const Dose& dose : recipe_of(choice, labels[separation.label_at[i]]))
        by_points += dose.load.value() * grid.point_cm2();
    }
    RC_ASSERT(std::abs(all - by_points) < 1e-9 * (1 + by_points));
    double totals = 0;
    for (const PowderTotal& total : weights.totals) {
      totals += total.lands.value();
      RC_ASSERT(total.used >= total.lands - Grams(1e-9));
      RC_ASSERT(total.used <= total.sift + Grams(1e-9));
      RC_ASSERT(!total.stock);
      RC_ASSERT(total.short_of == Grams(0));
    }
    RC_ASSERT(std::abs(totals - all) < 1e-9 * (1 + all));
  });
}

// The sifter sweeps the square and a rounded border around it.
TEST(Weigh, CaptureOfASquare) {
  for (const double side : {20.0, 50.0, 100.0}) {
    for (const double margin : {5.0, 10.0, 25.0}) {
      const Separation separation = square(side, 0.25);
      const Weights weights = weigh(separation, make_layers(separation), jars({{}}), rules_of(margin, 0.8));
      const double swept = side * side + 4 * side * margin + std::numbers::pi * margin * margin;
      EXPECT_NEAR(weights.layers[0].capture, side * side / swept, 0.015 * side * side / swept)
          << side << ' ' << margin;
    }
  }
}

// However tall the piece is: every point near an opening is swept, and no other.
TEST(Weigh, SweepsWhatIsNearAnOpening) {
  holds_always([] {
    const int width = *rc::gen::inRange(1, 12), height = *rc::gen::inRange(500, 900);
    const double reach = any_between(0, 40);
    std::vector<cv::Point> open;
    for (int i = *rc::gen::inRange(1, 6); i > 0; --i)
      open.emplace_back(*rc::gen::inRange(0, width), *rc::gen::inRange(0, height));
    Layer layer;
    layer.open = BitMask(width, height);
    for (const cv::Point& p : open)
      layer.open.set(p.x, p.y);
    int swept = 0;
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) {
        swept += std::any_of(open.begin(), open.end(), [&](cv::Point p) {
          return static_cast<float>(std::hypot(p.x - x, p.y - y)) <= static_cast<float>(reach);
        });
      }
    }
    const LayerWeights weights = weigh_layer({Millimetres(1), width, height}, layer, rules_of(reach, 0.8));
    RC_ASSERT(std::abs(weights.capture * swept - static_cast<double>(layer.open.count())) < 1e-6);
  });
}

TEST(Weigh, WithoutAMarginAllLands) {
  const Separation separation = square(50, 0.5);
  const Weights weights = weigh(separation, make_layers(separation), jars({{}}), rules_of(0, 0.8));
  EXPECT_EQ(weights.layers[0].capture, 1);
  EXPECT_NEAR(weights.layers[0].overspill.value(), 0, 1e-12);
}

TEST(Weigh, OnlyAStencilCatchesPowder) {
  const Separation separation = square(50, 0.5);
  for (const Technique technique : {Technique::fade, Technique::line}) {
    auto layers = make_layers(separation);
    layers[0].technique = technique;
    layers[0].open = {};
    const Weights weights = weigh(separation, layers, jars({{}}), rules_of(10, 0.8));
    EXPECT_EQ(weights.layers[0].capture, 1);
    EXPECT_EQ(weights.layers[0].sift, weights.layers[0].lands);
  }
}

TEST(Weigh, WhatComesBackIsNotUsedUp) {
  const Separation separation = square(50, 0.5);
  const auto layers = make_layers(separation);
  const auto used = [&](double comes_back) {
    const PowderTotal total = weigh(separation, layers, jars({{}}), rules_of(10, comes_back)).totals.at(0);
    return std::pair{total, total.used};
  };
  const auto [total, half] = used(0.5);
  EXPECT_NEAR(half.value(), (total.lands + (total.sift - total.lands) * 0.5).value(), 1e-9);
  EXPECT_NEAR(used(1).second.value(), total.lands.value(), 1e-9);
  EXPECT_NEAR(used(0).second.value(), total.sift.value(), 1e-9);
}

// One layer: the jar must hold what leaves the sifter, though most of it comes back.
TEST(Weigh, ShortOfWhatIsSifted) {
  const Separation separation = square(50, 0.5);
  const auto layers = make_layers(separation);
  const Grams sift = weigh(separation, layers, jars({{}}), rules_of(10, 0.8)).layers[0].sift;
  const auto short_of = [&](double stock) {
    return weigh(separation, layers, jars({stock}), rules_of(10, 0.8)).totals.at(0).short_of.value();
  };
  EXPECT_EQ(short_of(sift.value() + 1), 0);
  EXPECT_NEAR(short_of(sift.value()), 0, 1e-9);
  EXPECT_NEAR(short_of(sift.value() - 1.5), 1.5, 1e-9);
  EXPECT_NEAR(short_of(0), sift.value(), 1e-9);
}

// Several layers: at each step what has been used up before, and what is sifted then.
TEST(Weigh, ShortOfTheBusiestStep) {
  const Choice choice{nest_of(0, {Load(0.1), Load(0.2)})};
  const Separation separation =
      drawn_separation({Millimetres(0.5), 300, 300}, choice, {{0}, {1}, {2}}, [](int x, int y) {
        const int d = std::max(std::abs(x - 150), std::abs(y - 150));
        return d < 30 ? 2 : d < 100 ? 1 : 0;
      });
  const auto layers = make_layers(separation);
  ASSERT_EQ(layers.size(), 2u);
  constexpr double back = 0.7;
  const Weights weights = weigh(separation, layers, jars({1.0}), rules_of(10, back));
  const auto kept_from_jar = [&](std::size_t i) {
    return weights.layers[i].lands.value() + (1 - back) * weights.layers[i].overspill.value();
  };
  const double busiest =
      std::max(weights.layers[0].sift.value(), kept_from_jar(0) + weights.layers[1].sift.value());
  EXPECT_NEAR(weights.totals.at(0).short_of.value(), busiest - 1, 1e-9);
  EXPECT_NEAR(weights.totals[0].used.value(), kept_from_jar(0) + kept_from_jar(1), 1e-9);
  EXPECT_EQ(*weights.totals[0].stock, Grams(1));
}

TEST(Weigh, WhatLiesAlreadyAsksNothingOfTheJars) {
  const Choice choice{nest_of(0, {Load(0.1), Load(0.2)})};
  const Separation separation =
      drawn_separation({Millimetres(1), 40, 40}, choice, {{0}, {1}, {2}}, [](int x, int) {
        return x < 10 ? 2 : x < 25 ? 1 : 0;
      });
  const auto layers = make_layers(separation);
  ASSERT_EQ(layers.size(), 2u);
  const auto weighed = [&](std::size_t lying) {
    return weigh(separation, layers, jars({0.0}), rules_of(10, 1), lying);
  };
  const Weights all = weighed(0), rest = weighed(1), nothing = weighed(2);
  EXPECT_EQ(rest.layers[0].lands, all.layers[0].lands) << "it is weighed all the same";
  EXPECT_EQ(rest.totals.at(0).lands, all.layers[1].lands);
  EXPECT_EQ(rest.totals[0].short_of, all.layers[1].sift) << "an empty jar lacks what is sifted next";
  EXPECT_EQ(nothing.totals.at(0).short_of, Grams(0));
  EXPECT_EQ(nothing.totals[0].used, Grams(0));
}

TEST(Weigh, TotalsAreInTheOrderOfTheChoice) {
  const Separation separation =
      drawn_separation({Millimetres(1), 2, 1}, {nest_of(2, {Load(0.1)}), nest_of(0, {Load(0.3)})},
                       {{0, 0}, {1, 0}, {0, 1}}, [](int x, int) { return x + 1; });
  const Weights weights = weigh(separation, make_layers(separation), jars({{}, {}, 5.0}));
  ASSERT_EQ(weights.totals.size(), 2u);
  EXPECT_EQ(weights.totals[0].powder, 2u);
  EXPECT_EQ(weights.totals[1].powder, 0u);
  EXPECT_EQ(*weights.totals[0].stock, Grams(5));
  EXPECT_FALSE(weights.totals[1].stock);
}

TEST(Weigh, OfNoLayers) {
  const Separation separation =
      drawn_separation({Millimetres(1), 2, 2}, {}, {{}}, [](int, int) { return 0; });
  const Weights weights = weigh(separation, {}, jars({}));
  EXPECT_TRUE(weights.layers.empty());
  EXPECT_TRUE(weights.totals.empty());
}

}  // namespace
}  // namespace powderplan
