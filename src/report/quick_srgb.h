// sRGB by tables, for pictures of millions of pixels.
#pragma once

#include "colour/tristimulus.h"

namespace powderplan {

// Linear light of a code, as to_linear_rgb.
LinearRgb quick_linear(const Rgb8& colour);
// As to_rgb8, to within one code: light is first rounded to 65535ths.
Rgb8 quick_rgb8(const LinearRgb& colour);

}  // namespace powderplan
