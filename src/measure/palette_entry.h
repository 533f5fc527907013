// A measurement as keys of a palette file.
#pragma once

#include <vector>

#include "glass/palette_edit.h"
#include "measure/measured_powder.h"

namespace powderplan {

// k, s, spreads, load_curve, residual, expected_error, in the order in which they are to stand, rounded to
// what a measurement can say: five digits of k, s and the curve, which change no colour code by more than
// one. A load curve that does not hold any more is an edit that takes it out.
std::vector<KeyEdit> palette_entry(const MeasuredPowder& measured);

}  // namespace powderplan
