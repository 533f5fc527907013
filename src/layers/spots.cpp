#include "layers/spots.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace powderplan {
namespace {

Amount rounded(Amount amount, Amount levels) {
  const double step = static_cast<double>(whole_amount) / levels;
  return static_cast<Amount>(std::lround(std::round(amount / step) * step));
}

}  // namespace

Spots::Spots(const std::vector<Layer>& layers, int width, int height, Amount levels)
    : layers_(layers.size()), at_(width, height, 0) {
  // One layer after the other splits the spots found so far; rows of equal points make most look-ups short.
  std::vector<std::vector<Amount>> found{{}};
  for (const Layer& layer : layers) {
    std::unordered_map<std::uint64_t, std::uint32_t> number;
    std::vector<std::vector<Amount>> next;
    std::uint64_t last_key = ~std::uint64_t{0};
    std::uint32_t last = 0;
    for (std::size_t i = 0; i < at_.size(); ++i) {
      const std::uint64_t key = std::uint64_t{at_[i]} << 8 | layer.amount[i];
      if (key != last_key) {
        const Amount amount = levels == whole_amount ? layer.amount[i] : rounded(layer.amount[i], levels);
        const auto [entry, fresh] =
            number.try_emplace(std::uint64_t{at_[i]} << 8 | amount, static_cast<std::uint32_t>(next.size()));
        if (fresh) {
          next.push_back(found[at_[i]]);
          next.back().push_back(amount);
        }
        last_key = key;
        last = entry->second;
      }
      at_[i] = last;
    }
    found = std::move(next);
  }
  if (layers_ == 0)
    return;
  amounts_.reserve(found.size() * layers_);
  for (const std::vector<Amount>& amounts : found)
    amounts_.insert(amounts_.end(), amounts.begin(), amounts.end());
}

Recipe recipe_at(const Spots& spots, std::size_t spot, const std::vector<Layer>& layers,
                 std::span<const std::size_t> without) {
  Recipe recipe;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    const Amount amount = spots.amount(spot, i);
    if (amount != 0 && std::find(without.begin(), without.end(), i) == without.end())
      lay_on(recipe, {layers[i].powder, layers[i].load * (static_cast<double>(amount) / whole_amount)});
  }
  return recipe;
}

}  // namespace powderplan
