// Grams that were really used, as they were written down at the bench.
#pragma once

#include <map>
#include <string>

#include "units.h"

namespace powderplan {

// By number of the layer, from 1: grams that left the jar for good. Either JSON,
//   {"schema": 1, "plan_sha256": "...", "layers": [{"index": 1, "grams": 12.3, "done": true}]}
// as the bench page writes it, or CSV with the head "layer,grams" and a line for each. In JSON an entry may
// say only that its layer is done: it is not in the result, and so are further keys. `plan_sha256` is the
// fingerprint of the plan.json that the weights are for; a file that names another is refused, one that names
// none is not. `file` only names the place of faults. Throws Problem (input): neither of them, another
// plan's, a layer twice or no layer at all, numbers out of range.
std::map<int, Grams> parse_real_weights(const std::string& text, const std::string& file,
                                        const std::string& plan_sha256);

}  // namespace powderplan
