// The rest of a separation planned anew on what lies already: layers drawn by hand, fired with wrong loads.
#include "separation/separate_on.h"

#include <algorithm>

#include "colour/difference.h"
#include "drawn_separation.h"
#include "fades.h"
#include "fired_picture.h"
#include "masks.h"
#include "parallel.h"
#include "separation/fidelity.h"
#include "shelf.h"

namespace powderplan {
namespace {

const Grid grid{Millimetres(0.5), 72, 56};
constexpr Millimetres smallest{2};
constexpr int smallest_points = 4;

// A red ground in two tones, white on it, blue over both.
const Choice choice{nest_of(red, {Load(0.05), Load(0.06)}), nest_of(white, {Load(0.06)}),
                    nest_of(blue, {Load(0.03)})};

// Every layer ends along one straight line, so that it is wide everywhere.
Separation planned_by(int left, int top) {
  std::vector<Tones> labels;
  for (std::uint8_t ground = 0; ground <= 2; ++ground)
    for (const auto& [over, on] : {std::pair<std::uint8_t, std::uint8_t>{0, 0}, {1, 0}, {0, 1}})
      labels.push_back({ground, over, on});
  return drawn_separation(grid, choice, labels, [&](int x, int y) {
    const int ground = y < 8 ? 0 : y < 28 + top ? 1 : 2;
    return 3 * ground + (x >= 40 ? 1 : x < 20 + left ? 2 : 0);
  });
}

SeparationRules rules_for(std::vector<std::size_t> usable = {white, black, red, blue, yellow}) {
  SeparationRules rules;
  rules.limits.usable = std::move(usable);
  rules.smallest = smallest;
  rules.fades.ways.assign(small_shelf().powders.size(), {true, true, false});
  return rules;
}

// What the plan would look like if nothing went wrong.
Target target_of(const Separation& separation) {
  const Image<PackedLab> picture = fired_picture(small_painter(), separation);
  return {grid, picture, picture, Image<std::uint8_t>(grid.width, grid.height)};
}

Image<std::uint8_t> where(const Separation& separation, std::size_t nest, std::size_t step) {
  Image<std::uint8_t> there(grid.width, grid.height);
  for (std::size_t i = 0; i < there.size(); ++i)
    there[i] = separation.labels[separation.label_at[i]][nest] >= step ? 1 : 0;
  return there;
}

LaidLayer laid(const Separation& separation, std::size_t nest, std::size_t step, double strength) {
  return {nest, step, strength, where(separation, nest, step)};
}

double error_of(const Separation& separation, const Target& target) {
  return difference(target.wanted, fired_picture(small_painter(), separation), target.bare).mean;
}

// Going on as planned on what lies.
Separation as_planned_on(Separation separation, const std::vector<LaidLayer>& layers) {
  for (const LaidLayer& layer : layers) {
    Load& load = separation.choice[layer.nest].steps[layer.step - 1].load;
    load = load * layer.strength;
  }
  return separation;
}

// Loads are written in whole milligrams per cm2, of a nest added up.
constexpr double rounding = 0.0011;

TEST(SeparateOn, NothingChangesWhenNothingWasWrong) {
  const Separation planned = planned_by(0, 0);
  const Target target = target_of(planned);
  const RestOfSeparation rest = separate_on(planned, {laid(planned, 0, 1, 1), laid(planned, 0, 2, 1)},
                                            small_painter(), target, rules_for());
  EXPECT_EQ(rest.separation.choice, planned.choice);
  ASSERT_EQ(rest.nest_of_planned.size(), 3u);
  for (std::size_t n = 0; n < 3; ++n)
    EXPECT_EQ(rest.nest_of_planned[n], n);
  for (std::size_t i = 0; i < planned.label_at.size(); ++i)
    ASSERT_EQ(rest.separation.labels[rest.separation.label_at[i]], planned.labels[planned.label_at[i]]) << i;
}

TEST(SeparateOn, WhatLiesKeepsItsPlaceAndItsLoadAndTheRestIsNoWorse) {
  holds_always(
      [] {
        const Separation planned = planned_by(*rc::gen::inRange(-6, 7), *rc::gen::inRange(-6, 7));
        const Target target = target_of(planned);
        const double strength = any_decade_between(0.6, 1.7);
        const std::vector<LaidLayer> layers{laid(planned, 0, 1, strength), laid(planned, 0, 2, strength)};
        const RestOfSeparation rest = separate_on(planned, layers, small_painter(), target, rules_for());
        RC_ASSERT(rest.nest_of_planned[0] == std::optional<std::size_t>(0));
        double sum = 0, meant = 0;
        for (std::size_t step = 1; step <= 2; ++step) {
          sum += rest.separation.choice[0].steps[step - 1].load.value();
          meant += choice[0].steps[step - 1].load.value() * strength;
          RC_ASSERT(std::abs(sum - meant) < rounding);
          const Image<std::uint8_t> was = where(planned, 0, step), is = where(rest.separation, 0, step);
          for (std::size_t i = 0; i < was.size(); ++i)
            RC_ASSERT(was[i] == is[i]);
        }
        RC_ASSERT(all_wide_enough(rest.separation.choice, rest.separation.labels, rest.separation.label_at,
                                  smallest_points));
        // To the rounding of loads.
        RC_ASSERT(error_of(rest.separation, target) <=
                  error_of(as_planned_on(planned, layers), target) + 0.03);
      },
      8);
}

TEST(SeparateOn, LoadsToComeMakeUpForWhatLies) {
  // Blue below, and white over all of it that can hide more or less of what is wrong with it.
  const Choice two{nest_of(blue, {Load(0.05)}), nest_of(white, {Load(0.05)})};
  const Separation planned = drawn_separation(grid, two, {{0, 0}, {1, 1}, {0, 1}}, [](int x, int y) {
    return y < 8 ? 0 : x < 36 ? 1 : 2;
  });
  const Target target = target_of(planned);
  for (const double strength : {0.6, 1.5}) {
    const std::vector<LaidLayer> layers{laid(planned, 0, 1, strength)};
    // Without other powders to take.
    const RestOfSeparation rest =
        separate_on(planned, layers, small_painter(), target, rules_for({white, blue}));
    const double gone_wrong = error_of(as_planned_on(planned, layers), target);
    EXPECT_LT(error_of(rest.separation, target), 0.9 * gone_wrong) << strength;
    ASSERT_EQ(rest.separation.choice.size(), 2u);
    const Load white_now = rest.separation.choice[1].steps[0].load;
    EXPECT_TRUE(strength > 1 ? white_now > Load(0.05) : white_now < Load(0.05)) << white_now.value();
  }
}

TEST(SeparateOn, WhatTheLoadsDoNotExplainIsMadeUpForToo) {
  const Choice two{nest_of(blue, {Load(0.05)}), nest_of(white, {Load(0.05)})};
  const Separation planned = drawn_separation(grid, two, {{0, 0}, {1, 1}, {0, 1}}, [](int x, int y) {
    return y < 8 ? 0 : x < 36 ? 1 : 2;
  });
  const Target target = target_of(planned);
  const std::vector<LaidLayer> layers{laid(planned, 0, 1, 1)};
  for (const float darker : {6.0F, -6.0F}) {
    // Where the blue lies it is darker, or lighter, than its load explains.
    Image<LabPixel> left(grid.width, grid.height);
    for (std::size_t i = 0; i < left.size(); ++i)
      left[i].l = layers[0].there[i] != 0 ? -darker : 0.0F;
    const RestOfSeparation rest =
        separate_on(planned, layers, small_painter(), target, rules_for({white, blue}), left);
    ASSERT_EQ(rest.separation.choice.size(), 2u);
    const Load white_now = rest.separation.choice[1].steps[0].load;
    EXPECT_TRUE(darker > 0 ? white_now > Load(0.05) : white_now < Load(0.05)) << white_now.value();
  }
}

TEST(SeparateOn, WhatBridgesClosedStaysClosed) {
  const Separation planned = planned_by(0, 0);
  const Target target = target_of(planned);
  LaidLayer ground = laid(planned, 0, 1, 1), upper = laid(planned, 0, 2, 1);
  for (int y = 20; y < 24; ++y) {
    for (int x = 0; x < grid.width; ++x)
      ground.there.at(x, y) = upper.there.at(x, y) = 0;
  }
  const RestOfSeparation rest = separate_on(planned, {ground, upper}, small_painter(), target, rules_for());
  const Image<std::uint8_t> now = where(rest.separation, 0, 1);
  for (std::size_t i = 0; i < now.size(); ++i)
    ASSERT_EQ(now[i], ground.there[i]) << i;
}

TEST(SeparateOn, FadesToComeAreFittedAnewAndOthersStay) {
  const Choice two{nest_of(blue, {Load(0.05)}), nest_of(white, {Load(0.05)})};
  Separation planned =
      drawn_separation(grid, two, {{0, 1}, {1, 1}}, [](int, int y) { return y < 8 ? 0 : 1; });
  const double width = grid.width * grid.pitch.value();
  const Millimetres spacing = spacing_for_edge(Millimetres(8));
  planned.fades = {{0, 1, false, field_by(grid, spacing, [&](double x, double) { return x / width; })},
                   {1, 1, true, field_by(grid, spacing, [](double, double) { return 0.6; })}};
  const Target target = target_of(planned);
  const std::vector<LaidLayer> layers{laid(planned, 0, 1, 1.6)};
  const RestOfSeparation rest =
      separate_on(planned, layers, small_painter(), target, rules_for({white, blue}));
  ASSERT_EQ(rest.separation.fades.size(), 2u);
  const auto of = [&](std::size_t nest) {
    return *std::find_if(rest.separation.fades.begin(), rest.separation.fades.end(),
                         [&](const Fade& fade) { return fade.nest == nest; });
  };
  EXPECT_EQ(of(0).amount.weights(), planned.fades[0].amount.weights()) << "it lies";
  const double gone_wrong = error_of(as_planned_on(planned, layers), target);
  EXPECT_LT(error_of(rest.separation, target), 0.9 * gone_wrong);
}

// Blue can do little for red that is too heavy: what is far off is weighed otherwise than CIEDE2000 does, and
// what the search likes is no nearer.
TEST(SeparateOn, WhatHelpsNothingStaysAsPlanned) {
  const Choice two{nest_of(red, {Load(0.06)}), nest_of(blue, {Load(0.04)})};
  Separation planned =
      drawn_separation(grid, two, {{0, 1}, {1, 1}}, [](int, int y) { return y < 8 ? 0 : 1; });
  const double width = grid.width * grid.pitch.value();
  const Millimetres spacing = spacing_for_edge(Millimetres(8));
  planned.fades = {
      {0, 1, false, field_by(grid, spacing, [&](double x, double) { return x / width; })},
      {1, 1, true, field_by(grid, spacing, [](double x, double) { return x < 18 ? 1.0 : 0.3; })}};
  const Target target = target_of(planned);
  for (const double strength : {0.5, 0.7, 1.3, 1.6, 2.0}) {
    const std::vector<LaidLayer> layers{laid(planned, 0, 1, strength)};
    const RestOfSeparation rest =
        separate_on(planned, layers, small_painter(), target, rules_for({red, blue}));
    // To the rounding of loads.
    EXPECT_LE(error_of(rest.separation, target), error_of(as_planned_on(planned, layers), target) + 0.02)
        << strength;
  }
}

// Red is to come where black is wanted by now.
Target target_with_black(const Separation& planned, std::size_t nest) {
  Target target = target_of(planned);
  const Image<std::uint8_t> there = where(planned, nest, 1);
  for (std::size_t i = 0; i < there.size(); ++i)
    if (there[i] != 0)
      target.wanted[i] = to_pixel(small_painter().lab({{black, Load(0.06)}}));
  return target;
}

TEST(SeparateOn, AnotherPowderTakesThePlaceOfOneThatServesWorse) {
  const Choice two{nest_of(white, {Load(0.05)}), nest_of(red, {Load(0.08)})};
  const Separation planned =
      drawn_separation(grid, two, {{0, 0}, {1, 0}, {0, 1}}, [](int x, int) { return x < 36 ? 1 : 2; });
  const Target target = target_with_black(planned, 1);
  const auto powders = [&](const SeparationRules& rules) {
    return powders_of(
        separate_on(planned, {laid(planned, 0, 1, 1)}, small_painter(), target, rules).separation.choice);
  };
  const std::vector<std::size_t> as_planned{white, red}, exchanged{white, black};
  EXPECT_EQ(powders(rules_for()), exchanged);
  EXPECT_EQ(powders(rules_for({white, red, yellow})), as_planned);
  SeparationRules rules = rules_for();
  rules.limits.use = {red};
  EXPECT_EQ(powders(rules), as_planned) << "red must be in the plan";
  rules = rules_for();
  rules.fades.ways[black].stencil = false;
  EXPECT_NE(powders(rules), exchanged) << "black is never stencilled";
  rules = rules_for({white, red, black});
  rules.limits.order = {white, black};
  EXPECT_EQ(powders(rules), as_planned) << "what is ordered stays";
  rules.limits.order = {};
  rules.limits.apart = {black};
  EXPECT_EQ(powders(rules), as_planned);
}

TEST(SeparateOn, NeverMorePowdersThanAllowed) {
  // Red twice, side by side: with black there would be two powders.
  const Choice two{nest_of(red, {Load(0.08)}), nest_of(red, {Load(0.08)})};
  const Separation planned =
      drawn_separation(grid, two, {{0, 0}, {1, 0}, {0, 1}}, [](int x, int) { return x < 36 ? 1 : 2; });
  const Target target = target_with_black(planned, 1);
  const auto powders = [&](std::optional<std::size_t> most) {
    SeparationRules rules = rules_for();
    rules.limits.most_powders = most;
    return powders_of(
        separate_on(planned, {laid(planned, 0, 1, 1)}, small_painter(), target, rules).separation.choice);
  };
  EXPECT_EQ(powders({}), (std::vector<std::size_t>{red, black}));
  EXPECT_EQ(powders(2), (std::vector<std::size_t>{red, black}));
  EXPECT_EQ(powders(1), (std::vector<std::size_t>{red}));
}

TEST(SeparateOn, IsTheSameForAnyNumberOfThreads) {
  const Separation planned = planned_by(3, -2);
  const Target target = target_of(planned);
  const auto by = [&](unsigned threads) {
    const ThreadCount cap(threads);
    return separate_on(planned, {laid(planned, 0, 1, 1.4), laid(planned, 0, 2, 1.4)}, small_painter(), target,
                       rules_for())
        .separation;
  };
  const Separation alone = by(1), together = by(3);
  EXPECT_EQ(alone.choice, together.choice);
  EXPECT_EQ(alone.labels, together.labels);
  for (std::size_t i = 0; i < alone.label_at.size(); ++i)
    ASSERT_EQ(alone.label_at[i], together.label_at[i]) << i;
}

}  // namespace
}  // namespace powderplan
