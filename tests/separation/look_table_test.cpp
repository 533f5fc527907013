#include "separation/look_table.h"

#include <cmath>
#include <random>

#include "colour/difference.h"
#include "shelf.h"

namespace powderplan {
namespace {

// Two powders with openings, the first a fade with a template, and free fades.
FadedChoice choice_with(std::size_t free_fades) {
  FadedChoice faded;
  faded.stencils.choice = {nest_of(red, {Load(0.15)}), nest_of(white, {Load(0.1)})};
  faded.stencils.labels = all_labels(faded.stencils.choice, 2);
  HandLaid own;
  own.nest = 0;
  faded.fades.push_back(own);
  constexpr std::size_t powders[] = {blue, yellow, black};
  for (std::size_t f = 0; f < free_fades; ++f) {
    HandLaid fade;
    fade.free = true;
    fade.nest = f % 3;
    fade.powder = powders[f];
    fade.load = Load(0.2);
    faded.fades.push_back(fade);
  }
  return faded;
}

// Near the model itself anywhere between the nodes, and not needlessly far below the bound.
TEST(LookTable, IsNearTheModel) {
  // By the number of fades on a spot: the worst of 400 random spots, CIEDE2000.
  constexpr double bounds[] = {0.05, 0.6, 1.5, 3.5};
  for (std::size_t free_fades = 0; free_fades < 4; ++free_fades) {
    const FadedChoice faded = choice_with(free_fades);
    const LookTable table(small_painter(), faded, std::vector<std::uint8_t>(faded.stencils.labels.size(), 1));
    std::mt19937 random(7);
    double worst = 0;
    for (int i = 0; i < 400; ++i) {
      std::vector<float> amounts;
      for (std::size_t f = 0; f < faded.fades.size(); ++f)
        amounts.push_back(static_cast<float>(random() % 1001) / 1000.0F);
      const auto label = static_cast<std::uint16_t>(random() % faded.stencils.labels.size());
      const Lab exact = small_painter().lab(recipe_of(faded, faded.stencils.labels[label], amounts));
      worst = std::max(worst, ciede2000(exact, to_lab(table.colour(label, amounts.data()))));
    }
    EXPECT_LT(worst, bounds[free_fades]) << free_fades;
    EXPECT_GT(worst, bounds[free_fades] / 10) << free_fades;
  }
}

TEST(LookTable, SlopesAreThoseOfItsColours) {
  const FadedChoice faded = choice_with(2);
  const LookTable table(small_painter(), faded, std::vector<std::uint8_t>(faded.stencils.labels.size(), 1));
  holds_always([&] {
    std::vector<float> amounts;
    for (std::size_t f = 0; f < faded.fades.size(); ++f)
      amounts.push_back(static_cast<float>(any_between(0.02, 0.98)));
    const auto label =
        static_cast<std::uint16_t>(*rc::gen::inRange(std::size_t{0}, faded.stencils.labels.size()));
    const std::size_t fade = *rc::gen::inRange(std::size_t{0}, faded.fades.size());
    const LookTable::Look look = table.look(label, amounts.data(), fade);
    // A chord this short may still cross a node, where the slope jumps: both sides' chords then bracket it.
    const float h = 2e-3F;
    std::vector<float> up = amounts, down = amounts;
    up[fade] += h;
    down[fade] -= h;
    const float after = (table.colour(label, up.data()).l - look.colour.l) / h;
    const float before = (look.colour.l - table.colour(label, down.data()).l) / h;
    const float slack = 0.3F + 0.05F * std::abs(look.slope.l);
    RC_ASSERT(look.slope.l > std::min(before, after) - slack);
    RC_ASSERT(look.slope.l < std::max(before, after) + slack);
  });
}

TEST(LookTable, AFadeThatIsNotThereChangesNothing) {
  const FadedChoice faded = choice_with(0);
  const LookTable table(small_painter(), faded, std::vector<std::uint8_t>(faded.stencils.labels.size(), 1));
  const float none = 0, all = 1;
  const auto labels = static_cast<std::uint16_t>(faded.stencils.labels.size());
  for (std::uint16_t label = 0; label < labels; ++label) {
    const bool on = !fades_on(faded, faded.stencils.labels[label]).empty();
    EXPECT_EQ(on, faded.stencils.labels[label][0] > 0);
    EXPECT_EQ(on, table.colour(label, &none).l != table.colour(label, &all).l);
    if (!on) {
      EXPECT_EQ(table.look(label, &none, 0).slope.l, 0);
    }
  }
}

TEST(Levels, KeepNothingAndAll) {
  for (const int levels : {2, 3, 7, 17}) {
    EXPECT_EQ(level_of(0, levels), 0);
    EXPECT_EQ(level_of(1, levels), levels - 1);
    EXPECT_EQ(amount_of(0, levels), 0);
    EXPECT_EQ(amount_of(levels - 1, levels), 1);
    for (int level = 0; level < levels; ++level)
      EXPECT_EQ(level_of(amount_of(level, levels), levels), level);
  }
}

}  // namespace
}  // namespace powderplan
