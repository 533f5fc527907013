#include "separation/pair_price.h"

#include <algorithm>
#include <cmath>

namespace powderplan {

double price_of_contacts(const Recipe& recipe, std::span<const PairPrice> prices) {
  double sum = 0;
  for (const PairPrice& pair : prices) {
    if (pair.by_load()) {
      for (const Dose& dose : recipe)
        sum += dose.powder == pair.one ? pair.price * dose.load.value() : 0;
      continue;
    }
    bool touch = false;
    for (std::size_t i = 1; i < recipe.size(); ++i)
      touch = touch || pair.of(recipe[i - 1].powder, recipe[i].powder);
    if (touch != pair.wished())
      sum += std::abs(pair.price);
  }
  return sum;
}

double price_of_holding(const Choice& choice, std::span<const PairPrice> prices) {
  const std::vector<std::size_t> powders = prices.empty() ? std::vector<std::size_t>{} : powders_of(choice);
  const auto held = [&](std::size_t powder) {
    return std::find(powders.begin(), powders.end(), powder) != powders.end();
  };
  double sum = 0;
  for (const PairPrice& pair : prices) {
    if (pair.by_load())
      continue;
    const double both = held(pair.one) && held(pair.other) ? 1 : 0;
    const double missing = (held(pair.one) ? 0 : 0.5) + (held(pair.other) ? 0 : 0.5);
    sum += share_for_holding * std::abs(pair.price) * (pair.wished() ? missing : both);
  }
  return sum;
}

}  // namespace powderplan
