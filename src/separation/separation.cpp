#include "separation/separation.h"

#include <algorithm>
#include <numeric>

namespace powderplan {

std::size_t layer_count(const Choice& choice) {
  return std::accumulate(choice.begin(), choice.end(), std::size_t{0},
                         [](std::size_t sum, const ChosenPowder& p) { return sum + p.loads.size(); });
}

std::vector<Tones> all_labels(const Choice& choice, std::size_t most_at_a_spot) {
  std::vector<Tones> labels{Tones(choice.size(), 0)};
  // Each powder in turn is added to the labels of the powders before it.
  std::vector<std::size_t> powders_in{0};
  for (std::size_t p = 0; p < choice.size(); ++p) {
    const std::size_t before = labels.size();
    for (std::size_t i = 0; i < before; ++i) {
      if (powders_in[i] >= most_at_a_spot)
        continue;
      for (std::size_t tone = 1; tone <= choice[p].loads.size(); ++tone) {
        Tones label = labels[i];
        label[p] = static_cast<std::uint8_t>(tone);
        labels.push_back(std::move(label));
        powders_in.push_back(powders_in[i] + 1);
      }
    }
  }
  return labels;
}

Recipe recipe_of(const Choice& choice, const Tones& tones) {
  Recipe recipe;
  for (std::size_t p = 0; p < choice.size(); ++p) {
    if (tones[p] == 0)
      continue;
    Load load;
    for (std::size_t step = 0; step < tones[p]; ++step)
      load += choice[p].loads[step];
    recipe.push_back({choice[p].powder, load});
  }
  return recipe;
}

}  // namespace powderplan
