#include "separation/faded_choice.h"

#include <algorithm>

namespace powderplan {

std::vector<std::size_t> fades_on(const FadedChoice& faded, const Tones& tones) {
  std::vector<std::size_t> found;
  for (std::size_t f = 0; f < faded.fades.size(); ++f) {
    const HandLaid& fade = faded.fades[f];
    if (fade.free || tones[fade.nest] >= fade.step)
      found.push_back(f);
  }
  return found;
}

Recipe recipe_of(const FadedChoice& faded, const Tones& tones, const std::vector<float>& amounts) {
  const Choice& choice = faded.stencils.choice;
  Recipe recipe;
  const auto lay = [&](std::size_t powder, Load load) {
    if (load.value() > 0)
      lay_on(recipe, {powder, load});
  };
  for (std::size_t n = 0; n <= choice.size(); ++n) {
    for (std::size_t f = 0; f < faded.fades.size(); ++f) {
      const HandLaid& fade = faded.fades[f];
      if (fade.free && fade.nest == n)
        lay(fade.powder, fade.load * static_cast<double>(amounts[f]));
    }
    if (n == choice.size())
      continue;
    for (std::size_t step = tones[n]; step >= 1; --step) {
      double share = 1;
      for (std::size_t f = 0; f < faded.fades.size(); ++f) {
        const HandLaid& fade = faded.fades[f];
        if (!fade.free && fade.nest == n && fade.step == step)
          share = static_cast<double>(amounts[f]);
      }
      lay(choice[n].steps[step - 1].powder, choice[n].steps[step - 1].load * share);
    }
  }
  return recipe;
}

std::size_t layer_count(const FadedChoice& faded) {
  return layer_count(faded.stencils.choice) +
         static_cast<std::size_t>(std::count_if(faded.fades.begin(), faded.fades.end(),
                                                [](const HandLaid& fade) { return fade.free; }));
}

Load load_of(const FadedChoice& faded, std::size_t fade) {
  const HandLaid& laid = faded.fades[fade];
  return laid.free ? laid.load : faded.stencils.choice[laid.nest].steps[laid.step - 1].load;
}

void set_load(FadedChoice& faded, std::size_t fade, Load load) {
  HandLaid& laid = faded.fades[fade];
  (laid.free ? laid.load : faded.stencils.choice[laid.nest].steps[laid.step - 1].load) = load;
}

void trim_load(FadedChoice& faded, std::size_t fade) {
  std::vector<float>& weights = faded.fades[fade].amount.weights();
  const float most = *std::max_element(weights.begin(), weights.end());
  if (most <= 0)
    return;
  for (float& weight : weights)
    weight /= most;
  set_load(faded, fade, load_of(faded, fade) * static_cast<double>(most));
}

}  // namespace powderplan
