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

}  // namespace powderplan
