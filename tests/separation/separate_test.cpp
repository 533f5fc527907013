#include "separation/separate.h"

#include "colour/difference.h"
#include "fired_picture.h"
#include "masks.h"
#include "parallel.h"
#include "separation/fidelity.h"
#include "shelf.h"

namespace powderplan {
namespace {

SeparationRules rules_of(std::size_t layers, double smallest) {
  SeparationRules rules;
  rules.limits.most_layers = layers;
  rules.limits.usable = {white, black, red, blue, yellow};
  rules.smallest = Millimetres(smallest);
  rules.fades.ways.assign(small_shelf().powders.size(), {true, false, false});
  return rules;
}

SeparationRules rules_with_fades(std::size_t layers, double smallest) {
  SeparationRules rules = rules_of(layers, smallest);
  rules.fades.ways.clear();
  return rules;
}

Target target_with(const Image<PackedLab>& picture, double pitch) {
  Target target;
  target.grid = {Millimetres(pitch), picture.width(), picture.height()};
  target.picture = target.wanted = picture;
  target.bare = Image<std::uint8_t>(picture.width(), picture.height());
  return target;
}

// A ramp from dark to light with a red disc on it, and a bare corner.
Target ramp_and_disc() {
  Image<PackedLab> picture(80, 60);
  for (int y = 0; y < 60; ++y) {
    for (int x = 0; x < 80; ++x) {
      const bool disc = std::hypot(x - 45, y - 30) < 17;
      picture.at(x, y) = disc ? LabPixel{40, 45, 25} : LabPixel{15 + static_cast<float>(x), 1, 3};
    }
  }
  Target target = target_with(picture, 0.5);
  for (int y = 0; y < 15; ++y) {
    for (int x = 0; x < 15; ++x)
      target.bare.at(x, y) = 1;
  }
  return target;
}

// What every separation must be.
void expect_sound(const Separation& separation, const Target& target, const SeparationRules& rules) {
  EXPECT_EQ(separation.grid, target.grid);
  ASSERT_EQ(separation.label_at.width(), target.grid.width);
  ASSERT_EQ(separation.label_at.height(), target.grid.height);
  EXPECT_LE(layer_count(separation.choice), rules.limits.most_layers);
  ASSERT_FALSE(separation.labels.empty());
  EXPECT_EQ(separation.labels[0], Tones(separation.choice.size(), 0)) << "bare sheet first";
  std::vector<bool> used(separation.labels.size());
  used[0] = true;
  for (std::size_t i = 0; i < separation.label_at.size(); ++i) {
    ASSERT_LT(separation.label_at[i], separation.labels.size());
    used[separation.label_at[i]] = true;
  }
  EXPECT_EQ(std::count(used.begin(), used.end(), false), 0) << "only labels in use";
  for (const Tones& label : separation.labels) {
    EXPECT_LE(recipe_of(separation.choice, label).size(), rules.limits.most_at_a_spot);
  }
  for (const Nest& nest : separation.choice) {
    for (const Dose& step : nest.steps) {
      EXPECT_GE(step.load.value(), 0.001 - 1e-12);
      EXPECT_NEAR(step.load.value() * 1000, std::round(step.load.value() * 1000), 1e-6) << "whole milligrams";
      EXPECT_LE(step.load, rules.limits.most_load);
    }
  }
  const int diameter = std::max(1, static_cast<int>(std::ceil(rules.smallest / target.grid.pitch - 1e-6)));
  EXPECT_TRUE(all_wide_enough(separation.choice, separation.labels, separation.label_at, diameter));
}

TEST(Separate, RampAndDisc) {
  const Target target = ramp_and_disc();
  // The last one is labelled on the half grid first.
  for (const double smallest : {0.4, 2.0, 4.5}) {
    const SeparationRules rules = rules_of(4, smallest);
    const Separation separation = separate(small_painter(), target, rules);
    expect_sound(separation, target, rules);
    const Image<PackedLab> predicted = fired_picture(small_painter(), separation);
    const double mean = difference(target.wanted, predicted, target.bare).mean;
    const Image<PackedLab> sheet(80, 60, to_pixel(small_painter().lab({})));
    EXPECT_LT(mean, 0.4 * difference(target.wanted, sheet, target.bare).mean) << smallest;
  }
}

TEST(Separate, IsTheSameForAnyNumberOfThreads) {
  const Target target = ramp_and_disc();
  const auto by = [&](unsigned threads) {
    const ThreadCount cap(threads);
    return separate(small_painter(), target, rules_of(3, 2));
  };
  const Separation alone = by(1), together = by(2);
  EXPECT_EQ(alone.choice, together.choice);
  EXPECT_EQ(alone.labels, together.labels);
  for (std::size_t i = 0; i < alone.label_at.size(); ++i)
    ASSERT_EQ(alone.label_at[i], together.label_at[i]) << i;
}

TEST(Separate, OfBareSheetIsNothing) {
  Target target = target_with(Image<PackedLab>(30, 20, {50, 0, 0}), 0.5);
  target.bare = Image<std::uint8_t>(30, 20, 1);
  const SeparationRules rules = rules_of(3, 2);
  const Separation separation = separate(small_painter(), target, rules);
  expect_sound(separation, target, rules);
  EXPECT_TRUE(separation.choice.empty());
}

TEST(Separate, OfOneColourIsThatColour) {
  const Painter painter = small_painter();
  const Lab wanted = painter.lab({{red, Load(0.1)}});
  const Target target = target_with(Image<PackedLab>(30, 20, to_pixel(wanted)), 0.5);
  const SeparationRules rules = rules_of(2, 2);
  const Separation separation = separate(painter, target, rules);
  expect_sound(separation, target, rules);
  EXPECT_LT(difference(target.wanted, fired_picture(painter, separation), target.bare).mean, 1);
}

TEST(Separate, TinyPictures) {
  for (const auto& [width, height] : {std::pair{1, 1}, {1, 9}, {9, 1}, {2, 2}, {3, 3}}) {
    for (const double smallest : {0.5, 2.0, 5.0}) {
      const Target target = target_with(Image<PackedLab>(width, height, {30, 20, 10}), 0.5);
      const SeparationRules rules = rules_of(1, smallest);
      expect_sound(separate(small_painter(), target, rules), target, rules);
    }
  }
}

TEST(Separate, HoldsToTheLimits) {
  SeparationRules rules = rules_of(4, 2);
  rules.limits.most_powders = 2;
  rules.limits.most_at_a_spot = 1;
  rules.limits.most_load = Load(0.2);
  const Target target = ramp_and_disc();
  const Separation separation = separate(small_painter(), target, rules);
  expect_sound(separation, target, rules);
  EXPECT_LE(separation.choice.size(), 2u);
}

TEST(Separate, WithoutAnyLayersIsBareSheet) {
  const SeparationRules rules = rules_of(0, 2);
  const Target target = ramp_and_disc();
  const Separation separation = separate(small_painter(), target, rules);
  expect_sound(separation, target, rules);
  EXPECT_TRUE(separation.choice.empty());
}

TEST(Separate, ReportsSharesFromZeroToOne) {
  double last = 0;
  separate(small_painter(), target_with(Image<PackedLab>(20, 20, {30, 20, 10}), 0.5), rules_of(2, 2),
           [&](double share) {
             EXPECT_TRUE(share >= 0 && share <= 1) << share;
             last = share;
           });
  EXPECT_GT(last, 0.5);
}

// A sky: a smooth slope of colours over the whole piece, 160 x 120 mm, and a dark crisp hill in front of it.
Target sky_and_hill() {
  Image<PackedLab> picture(160, 120);
  for (int y = 0; y < 120; ++y) {
    for (int x = 0; x < 160; ++x) {
      const bool hill = y > 95 + 12 * std::sin(x / 20.0);
      const float t = static_cast<float>(y) / 119;
      picture.at(x, y) = hill ? LabPixel{12, 0, 0} : LabPixel{40 + 45 * t, 4 * t, -38 + 40 * t};
    }
  }
  return target_with(picture, 1);
}

// The largest step between neighbours inside the sky, in CIEDE2000.
double largest_step(const Image<PackedLab>& picture) {
  double most = 0;
  for (int y = 0; y + 1 < 75; ++y) {
    for (int x = 0; x < 160; ++x)
      most = std::max(most, ciede2000(to_lab(picture.at(x, y)), to_lab(picture.at(x, y + 1))));
  }
  return most;
}

TEST(Separate, ASkyIsAFadeWithoutSteps) {
  const Target target = sky_and_hill();
  const Separation with = separate(small_painter(), target, rules_with_fades(3, 2));
  const Separation without = separate(small_painter(), target, rules_of(3, 2));
  ASSERT_FALSE(with.fades.empty());
  const Image<PackedLab> soft = fired_picture(small_painter(), with);
  const Image<PackedLab> banded = fired_picture(small_painter(), without);
  const double by_fades = difference(target.wanted, soft, target.bare).mean;
  EXPECT_LT(by_fades, 0.6 * difference(target.wanted, banded, target.bare).mean);
  // The wanted sky itself climbs by half a unit a row.
  EXPECT_LT(largest_step(soft), 1.5);
  EXPECT_GT(largest_step(banded), 5);
}

TEST(Separate, FadesAreWithinTheLimitsAndTheSameForAnyNumberOfThreads) {
  const Target target = sky_and_hill();
  const SeparationRules rules = rules_with_fades(4, 3);
  const auto by = [&](unsigned threads) {
    const ThreadCount cap(threads);
    return separate(small_painter(), target, rules);
  };
  const Separation alone = by(1), together = by(2);
  EXPECT_EQ(alone.choice, together.choice);
  ASSERT_EQ(alone.fades.size(), together.fades.size());
  EXPECT_LE(layer_count(alone.choice), 4u);
  for (std::size_t f = 0; f < alone.fades.size(); ++f) {
    const Fade& fade = alone.fades[f];
    EXPECT_EQ(fade.amount.weights(), together.fades[f].amount.weights());
    ASSERT_LT(fade.nest, alone.choice.size());
    EXPECT_LE(fade.step, alone.choice[fade.nest].steps.size());
    EXPECT_GE(fade.amount.spacing(), spacing_for_edge(rules.fades.edge_low) * 0.999);
    for (const float weight : fade.amount.weights())
      EXPECT_TRUE(weight >= 0 && weight <= 1.0001F) << weight;
    for (const Tones& tones : alone.labels) {
      if (fade.free) {
        EXPECT_EQ(tones[fade.nest], 1);
      }
    }
  }
  // Whatever has openings obeys the width rule.
  EXPECT_TRUE(all_wide_enough(alone.choice, alone.labels, alone.label_at, 3));
}

TEST(Separate, WithoutStencilsThereAreFreeFadesOnly) {
  SeparationRules rules = rules_of(3, 2);
  rules.fades.ways.assign(small_shelf().powders.size(), {false, true, false});
  const Target target = sky_and_hill();
  const Separation separation = separate(small_painter(), target, rules);
  EXPECT_FALSE(separation.choice.empty());
  EXPECT_LE(layer_count(separation.choice), 3u);
  EXPECT_EQ(separation.fades.size(), layer_count(separation.choice));
  for (const Fade& fade : separation.fades)
    EXPECT_TRUE(fade.free);
}

TEST(Separate, APowderKeepsToItsWays) {
  SeparationRules rules = rules_with_fades(4, 2);
  rules.fades.ways.assign(small_shelf().powders.size(), {true, true, true});
  rules.fades.ways[blue] = {false, true, false};
  rules.fades.ways[black] = {true, false, false};
  rules.limits.use = {blue, black};
  const Separation separation = separate(small_painter(), sky_and_hill(), rules);
  bool blue_there = false;
  for (const Fade& fade : separation.fades) {
    const std::size_t powder = separation.choice[fade.nest].steps[fade.step - 1].powder;
    EXPECT_NE(powder, black);
    if (powder == blue) {
      blue_there = true;
      EXPECT_TRUE(fade.free);
    }
  }
  EXPECT_TRUE(blue_there);
}

TEST(SearchColours, AreWeighedByAreaAndNoMoreThanAsked) {
  const Target target = ramp_and_disc();
  for (const std::size_t count : {1u, 10u, 200u}) {
    const std::vector<WeightedColour> colours = search_colours(target, Millimetres(2), count);
    EXPECT_LE(colours.size(), count);
    double weight = 0;
    for (const WeightedColour& c : colours)
      weight += c.weight;
    EXPECT_NEAR(weight, 80 * 60 - 15 * 15, 1e-6);
  }
}

}  // namespace
}  // namespace powderplan
