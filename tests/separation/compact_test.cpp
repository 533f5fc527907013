#include "separation/compact.h"

#include <random>

#include "shelf.h"

namespace powderplan {
namespace {

// What lies at every point, before and after.
Recipe rounded(Recipe recipe) {
  for (Dose& dose : recipe)
    dose.load = Load(std::round(dose.load.value() * 200) / 200);
  return recipe;
}

TEST(Compacted, LaysTheSameAtEveryPoint) {
  holds_always([] {
    FadedChoice faded;
    faded.stencils.choice = {nest_of(white, {Load(0.1), Load(0.2)}), nest_of(red, {Load(0.3)})};
    faded.stencils.labels = all_labels(faded.stencils.choice, 2);
    const int width = *rc::gen::inRange(1, 12);
    const Grid grid{Millimetres(1), width, 1};
    std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
    // Few labels, so that some powders and loads do not occur.
    const auto least = random() % faded.stencils.labels.size();
    faded.stencils.label_at = Image<std::uint16_t>(width, 1);
    for (int x = 0; x < width; ++x)
      faded.stencils.label_at.at(x, 0) = static_cast<std::uint16_t>(random() % 2 == 0 ? least : 0);
    const SoftField half(Millimetres(width), Millimetres(1), Millimetres(5), 0.5F);
    HandLaid own;
    own.nest = random() % 2;
    own.step = own.nest == 0 ? 1 + random() % 2 : 1;
    own.amount = half;
    faded.fades.push_back(own);
    for (const std::size_t powder : {blue, black, yellow}) {
      HandLaid free;
      free.free = true;
      free.nest = random() % 3;
      free.powder = powder;
      free.load = Load(0.4);
      free.amount = half;
      faded.fades.push_back(free);
    }
    const std::vector<float> amounts(faded.fades.size(), 0.5F);
    std::vector<Recipe> before;
    for (int x = 0; x < width; ++x)
      before.push_back(
          rounded(recipe_of(faded, faded.stencils.labels[faded.stencils.label_at.at(x, 0)], amounts)));
    const Separation separation = compacted(grid, faded);
    RC_ASSERT(separation.grid == grid);
    for (int x = 0; x < width; ++x) {
      const Tones& tones = separation.labels[separation.label_at.at(x, 0)];
      Recipe after;
      for (std::size_t p = 0; p < separation.choice.size(); ++p) {
        for (std::size_t step = tones[p]; step >= 1; --step) {
          double share = 1;
          for (const Fade& fade : separation.fades)
            share = fade.nest == p && fade.step == step ? 0.5 : share;
          const Dose& dose = separation.choice[p].steps[step - 1];
          lay_on(after, {dose.powder, dose.load * share});
        }
      }
      RC_ASSERT(rounded(after) == before[static_cast<std::size_t>(x)]);
    }
  });
}

}  // namespace
}  // namespace powderplan
