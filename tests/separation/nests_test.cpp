// Separations whose openings are to lie in so many nests: each nest can be laid in one firing.
#include <algorithm>
#include <cmath>

#include "fired_picture.h"
#include "firing/firing.h"
#include "masks.h"
#include "separation/fidelity.h"
#include "separation/separate.h"
#include "shelf.h"

namespace powderplan {
namespace {

// Four grounds side by side, light, dark, yellow and blue, and a red disc across them.
Target grounds_and_disc() {
  constexpr int width = 80, height = 60;
  const LabPixel grounds[] = {{85, 0, 4}, {15, 0, 0}, {70, 4, 50}, {25, 8, -30}};
  Target target;
  target.grid = {Millimetres(0.5), width, height};
  target.wanted = Image<PackedLab>(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      target.wanted.at(x, y) =
          std::hypot(x - 40, y - 30) < 16 ? LabPixel{38, 45, 25} : grounds[x * 4 / width];
  }
  target.picture = target.wanted;
  target.bare = Image<std::uint8_t>(width, height);
  return target;
}

SeparationRules rules_of(std::size_t layers, std::optional<std::size_t> nests) {
  SeparationRules rules;
  rules.limits.most_layers = layers;
  rules.limits.most_nests = nests;
  rules.limits.usable = {white, black, red, blue, yellow};
  rules.smallest = Millimetres(2);
  rules.fades.ways.assign(small_shelf().powders.size(), {true, false, false});
  return rules;
}

std::size_t firings_without_spacers(const std::vector<Layer>& layers) {
  FiringLimits limits;
  limits.raised = RaisedUse::never;
  return plan_firings(layers, small_shelf().sheets[0], small_shelf(), limits).firings.size();
}

// Whether the one opens wherever the other does.
bool opens_where(const BitMask& larger, BitMask smaller) {
  return !smaller.remove(larger).any();
}

double error_of(const Separation& separation, const Target& target) {
  return difference(target.wanted, fired_picture(small_painter(), separation), target.bare).mean;
}

TEST(SeparateInNests, NeedsNoMoreFiringsThanNests) {
  const Target target = grounds_and_disc();
  const Separation without = separate(small_painter(), target, rules_of(5, {}));
  EXPECT_GT(firings_without_spacers(make_layers(without)), 2u) << "else this picture shows nothing";
  double last = error_of(Separation{target.grid, {}, {{}}, Image<std::uint16_t>(80, 60)}, target);
  for (const std::size_t nests : {std::size_t{1}, std::size_t{2}, std::size_t{3}}) {
    const SeparationRules rules = rules_of(5, nests);
    const Separation separation = separate(small_painter(), target, rules);
    EXPECT_LE(separation.choice.size(), nests);
    EXPECT_TRUE(allowed(separation.choice, rules.limits));
    for (const Tones& label : separation.labels) {
      ASSERT_EQ(label.size(), separation.choice.size());
      for (std::size_t n = 0; n < label.size(); ++n)
        EXPECT_LE(label[n], separation.choice[n].steps.size());
      EXPECT_LE(recipe_of(separation.choice, label).size(), rules.limits.most_at_a_spot);
    }
    EXPECT_TRUE(all_wide_enough(separation.choice, separation.labels, separation.label_at, 4));
    const std::vector<Layer> layers = make_layers(separation);
    for (const Layer& layer : layers) {
      EXPECT_TRUE(layer.open.any());
      for (const Layer& other : layers) {
        if (other.nest == layer.nest && other.step > layer.step) {
          EXPECT_TRUE(opens_where(layer.open, other.open)) << nests;
        }
      }
    }
    EXPECT_LE(firings_without_spacers(layers), nests);
    const double error = error_of(separation, target);
    EXPECT_LT(error, 0.9 * last) << "one nest more serves this picture better";
    last = error;
  }
}

TEST(SeparateInNests, OneNestMixesPowders) {
  const Separation one = separate(small_painter(), grounds_and_disc(), rules_of(4, 1));
  ASSERT_EQ(one.choice.size(), 1u);
  EXPECT_FALSE(of_one_powder(one.choice[0]));
  EXPECT_LE(total_load(one.choice[0]), full_load);
}

TEST(SeparateInNests, PowdersKeepTheirFirings) {
  SeparationRules rules = rules_of(4, 2);
  rules.limits.use = {red, white};
  rules.limits.in_firing = {{red, 1}, {white, 2}};
  const Separation separation = separate(small_painter(), grounds_and_disc(), rules);
  ASSERT_EQ(separation.choice.size(), 2u);
  const auto holds = [&](std::size_t nest, std::size_t powder) {
    const std::vector<std::size_t> held = powders_of({separation.choice[nest]});
    return std::find(held.begin(), held.end(), powder) != held.end();
  };
  EXPECT_TRUE(holds(0, red));
  EXPECT_FALSE(holds(1, red));
  EXPECT_TRUE(holds(1, white));
  EXPECT_FALSE(holds(0, white));
}

TEST(SeparateInNests, HotterNestsLieBelowCoolerOnes) {
  SeparationRules rules = rules_of(4, 2);
  rules.limits.use = {red};
  rules.limits.heat = {2, 2, 0, 2, 2};  // red is to stay rough
  const Separation separation = separate(small_painter(), grounds_and_disc(), rules);
  ASSERT_EQ(separation.choice.size(), 2u);
  EXPECT_EQ(powders_of({separation.choice[1]}), std::vector<std::size_t>{red});
  const std::vector<std::size_t> below = powders_of({separation.choice[0]});
  EXPECT_EQ(std::count(below.begin(), below.end(), red), 0);
}

}  // namespace
}  // namespace powderplan
