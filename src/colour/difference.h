// CIEDE2000 colour difference (CIE 142-2001; ISO/CIE 11664-6), for reporting.
#pragma once

#include "colour/tristimulus.h"

namespace powderplan {

// kL = kC = kH = 1. Discontinuous where two hues lie 180 degrees apart (Sharma, Wu, Dalal 2005).
double ciede2000(const Lab& reference, const Lab& sample);

}  // namespace powderplan
