// What one spot carries.
#pragma once

#include <cstddef>
#include <vector>

#include "units.h"

namespace powderplan {

// One powder of a recipe; `powder` is its place in Palette::powders.
struct Dose {
  std::size_t powder = 0;
  Load load;
  friend bool operator==(const Dose&, const Dose&) = default;
};

// From the bottom to the top. Empty: bare sheet.
using Recipe = std::vector<Dose>;

// One more dose on top; on the same powder it becomes one with that.
inline void lay_on(Recipe& recipe, const Dose& dose) {
  if (!recipe.empty() && recipe.back().powder == dose.powder)
    recipe.back().load += dose.load;
  else
    recipe.push_back(dose);
}

inline Load total_load(const Recipe& recipe) {
  Load sum;
  for (const Dose& dose : recipe)
    sum += dose.load;
  return sum;
}

}  // namespace powderplan
