#include "layers/spots.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace powderplan {
namespace {

Amount rounded(Amount amount, Amount levels) {
  const double step = static_cast<double>(whole_amount) / levels;
  return static_cast<Amount>(std::lround(std::round(amount / step) * step));
}

// Numbers of spots by their amounts: a table of places, each taken by the first spot that finds it free
// (linear probing, Knuth 1998), never more than half full.
class SpotNumbers {
 public:
  SpotNumbers(std::size_t layers, std::vector<Amount>& amounts)
      : layers_(layers), amounts_(amounts), places_(1024, none) {}

  std::uint32_t of(const std::vector<Amount>& wanted) {
    std::size_t place = place_of(wanted.data());
    for (; places_[place] != none; place = (place + 1) & (places_.size() - 1)) {
      const Amount* const there = amounts_.data() + places_[place] * layers_;
      if (std::equal(wanted.begin(), wanted.end(), there))
        return places_[place];
    }
    const auto number = static_cast<std::uint32_t>(amounts_.size() / layers_);
    amounts_.insert(amounts_.end(), wanted.begin(), wanted.end());
    places_[place] = number;
    if (2 * (std::size_t{number} + 1) > places_.size())
      grow();
    return number;
  }

 private:
  static constexpr std::uint32_t none = ~std::uint32_t{0};

  [[nodiscard]] std::size_t place_of(const Amount* amounts) const {
    std::uint64_t hash = 0;
    for (std::size_t i = 0; i < layers_; ++i)
      hash = (hash ^ amounts[i]) * 0x9e3779b97f4a7c15U;
    return (hash ^ hash >> 32) & (places_.size() - 1);
  }
  void grow() {
    std::vector<std::uint32_t> larger(2 * places_.size(), none);
    places_.swap(larger);
    for (const std::uint32_t number : larger) {
      if (number == none)
        continue;
      std::size_t place = place_of(amounts_.data() + number * layers_);
      while (places_[place] != none)
        place = (place + 1) & (places_.size() - 1);
      places_[place] = number;
    }
  }

  std::size_t layers_;
  std::vector<Amount>& amounts_;
  std::vector<std::uint32_t> places_;
};

}  // namespace

Spots::Spots(const std::vector<Layer>& layers, int width, int height, Amount levels)
    : layers_(layers.size()), at_(width, height, 0) {
  if (layers_ == 0)
    return;
  std::array<Amount, whole_amount + 1> taken_as{};
  for (std::size_t amount = 0; amount < taken_as.size(); ++amount)
    taken_as[amount] = rounded(static_cast<Amount>(amount), levels);
  SpotNumbers numbers(layers_, amounts_);
  std::vector<Amount> here(layers_), before;
  for (std::size_t i = 0; i < at_.size(); ++i) {
    for (std::size_t layer = 0; layer < layers_; ++layer)
      here[layer] = taken_as[layers[layer].amount[i]];
    // Rows of equal points need no look into the table.
    if (here == before) {
      at_[i] = at_[i - 1];
    } else {
      at_[i] = numbers.of(here);
      before = here;
    }
  }
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
