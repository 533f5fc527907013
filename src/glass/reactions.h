// Glasses whose chemistry darkens where they touch in the heat: common practice, no published source. The
// studio states what each glass carries and what it reacts with; nothing is assumed.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "glass/palette.h"

namespace powderplan {

// Two glasses that react. At most one of them is a sheet: sheets are never fused to one another here.
struct Reaction {
  std::size_t powder = 0;            // a place in Palette::powders
  std::optional<std::size_t> other;  // a place in Palette::powders, after the first one ...
  std::optional<std::size_t> sheet;  // ... or in Palette::sheets
  // What one of them carries and the other reacts with, in lower case, in the order of the alphabet, each
  // once.
  std::vector<std::string> chemistry;
  friend bool operator==(const Reaction&, const Reaction&) = default;
};

// All pairs of the palette, in the order of its powders; pairs with a sheet after those with powders. Words
// of chemistry are the same word whatever their capitals. A powder does not react with itself.
std::vector<Reaction> reactions_of(const Palette& palette);

}  // namespace powderplan
