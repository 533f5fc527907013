// A measurement as keys of a palette file.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "measure/measured_powder.h"

namespace powderplan {

// Key and value as TOML text, in the order in which they are to stand: k, s, spreads, load_curve, residual,
// expected_error. A key with an empty value is to be taken out, because it does not hold any more.
std::vector<std::pair<std::string, std::string>> palette_entry(const MeasuredPowder& measured);

}  // namespace powderplan
