#include "separation/faded_choice.h"

#include <algorithm>

namespace powderplan {

std::vector<std::size_t> fades_on(const FadedChoice& faded, const Tones& tones) {
  std::vector<std::size_t> found;
  for (std::size_t f = 0; f < faded.fades.size(); ++f) {
    const HandLaid& fade = faded.fades[f];
    if (fade.free || tones[fade.chosen] >= fade.step)
      found.push_back(f);
  }
  return found;
}

Recipe recipe_of(const FadedChoice& faded, const Tones& tones, const std::vector<float>& amounts) {
  const Choice& choice = faded.stencils.choice;
  Recipe recipe;
  const auto lay = [&](std::size_t powder, Load load) {
    if (load.value() <= 0)
      return;
    if (!recipe.empty() && recipe.back().powder == powder)
      recipe.back().load += load;
    else
      recipe.push_back({powder, load});
  };
  for (std::size_t p = 0; p <= choice.size(); ++p) {
    for (std::size_t f = 0; f < faded.fades.size(); ++f) {
      const HandLaid& fade = faded.fades[f];
      if (fade.free && fade.chosen == p)
        lay(fade.powder, fade.load * static_cast<double>(amounts[f]));
    }
    if (p == choice.size() || tones[p] == 0)
      continue;
    Load load;
    for (std::size_t step = 1; step <= tones[p]; ++step) {
      double share = 1;
      for (std::size_t f = 0; f < faded.fades.size(); ++f) {
        const HandLaid& fade = faded.fades[f];
        if (!fade.free && fade.chosen == p && fade.step == step)
          share = static_cast<double>(amounts[f]);
      }
      load += choice[p].loads[step - 1] * share;
    }
    lay(choice[p].powder, load);
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
  return laid.free ? laid.load : faded.stencils.choice[laid.chosen].loads[laid.step - 1];
}

void set_load(FadedChoice& faded, std::size_t fade, Load load) {
  HandLaid& laid = faded.fades[fade];
  (laid.free ? laid.load : faded.stencils.choice[laid.chosen].loads[laid.step - 1]) = load;
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
