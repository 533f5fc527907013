#include "separation/separation.h"

#include <algorithm>
#include <numeric>

namespace powderplan {

Nest nest_of(std::size_t powder, const std::vector<Load>& loads) {
  Nest nest;
  for (const Load load : loads)
    nest.steps.push_back({powder, load});
  return nest;
}

bool of_one_powder(const Nest& nest) {
  return std::all_of(nest.steps.begin(), nest.steps.end(),
                     [&](const Dose& step) { return step.powder == nest.steps.front().powder; });
}

Load total_load(const Nest& nest) {
  return total_load(nest.steps);
}

std::size_t layer_count(const Choice& choice) {
  return std::accumulate(choice.begin(), choice.end(), std::size_t{0},
                         [](std::size_t sum, const Nest& nest) { return sum + nest.steps.size(); });
}

std::vector<std::size_t> powders_of(const Choice& choice) {
  std::vector<std::size_t> powders;
  for (const Nest& nest : choice) {
    for (auto step = nest.steps.rbegin(); step != nest.steps.rend(); ++step) {
      if (std::find(powders.begin(), powders.end(), step->powder) == powders.end())
        powders.push_back(step->powder);
    }
  }
  return powders;
}

Recipe recipe_of(const Choice& choice, const Tones& tones) {
  Recipe recipe;
  for (std::size_t n = 0; n < choice.size(); ++n) {
    for (std::size_t step = tones[n]; step >= 1; --step)
      lay_on(recipe, choice[n].steps[step - 1]);
  }
  return recipe;
}

std::vector<Tones> all_labels(const Choice& choice, std::size_t most_at_a_spot) {
  std::vector<Tones> labels{Tones(choice.size(), 0)};
  // The tones of each nest in turn are added to the labels of the nests before it.
  for (std::size_t n = 0; n < choice.size(); ++n) {
    const std::size_t before = labels.size();
    for (std::size_t i = 0; i < before; ++i) {
      for (std::size_t tone = 1; tone <= choice[n].steps.size(); ++tone) {
        Tones label = labels[i];
        label[n] = static_cast<std::uint8_t>(tone);
        if (recipe_of(choice, label).size() <= most_at_a_spot)
          labels.push_back(std::move(label));
      }
    }
  }
  return labels;
}

BitMask points_labelled(const Image<std::uint16_t>& label_at, const std::vector<std::uint8_t>& marks) {
  return BitMask::where(label_at.width(), label_at.height(), [&](int y) {
    return [from = label_at.row(y), mark = marks.data()](int x) { return mark[from[x]] != 0; };
  });
}

}  // namespace powderplan
