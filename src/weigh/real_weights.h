// Grams that were really used, as they were written down at the bench.
#pragma once

#include <map>
#include <string>

#include "units.h"

namespace powderplan {

// By number of the layer, from 1: grams that left the jar for good. Either JSON,
//   {"schema": 1, "layers": [{"index": 1, "grams": 12.3}]}
// or CSV with the head "layer,grams" and a line for each. `file` only names the place of faults. Throws
// Problem (input): neither of them, a layer twice or no layer at all, numbers out of range.
std::map<int, Grams> parse_real_weights(const std::string& text, const std::string& file);

}  // namespace powderplan
