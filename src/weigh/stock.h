// What plans take off the jars of a shelf, and what is to be ordered.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "glass/palette.h"
#include "units.h"

namespace powderplan {

// One sifting. `leaves` is what leaves the jar for it, `used` what of that does not come back.
struct JarUse {
  std::string powder;  // id
  Grams used, leaves;
};

struct JarState {
  std::size_t powder = 0;      // its place in Palette::powders
  bool wanted = false;         // by a sifting
  Grams used;                  // by all of them
  std::optional<Grams> stock;  // what the jar holds before
  std::optional<Grams> left;   // what it will hold, 0 at least
  // What the jar lacks, 0 when nothing: at every sifting it must hold all that leaves it then, after what
  // those before have used up. A jar of which the shelf says nothing lacks nothing.
  Grams short_of;
  Grams order;                  // so that nothing is short and the reserve is there in the end
  std::optional<double> price;  // of what is to be ordered, where the shelf states prices
};

// A state for each powder of the palette, in its order. The siftings are in the order of the bench. Needs
// powders that are on the palette, and a reserve of 0 or more for every jar.
std::vector<JarState> jars_after(const Palette& palette, const std::vector<JarUse>& siftings, Grams reserve);

}  // namespace powderplan
