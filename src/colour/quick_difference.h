// CIEDE2000 for pictures of millions of points: colour/difference.h in single precision, many at once.
#pragma once

#include <cstddef>

#include "colour/tristimulus.h"

namespace powderplan {

// Largest difference from ciede2000, as share of a difference and, of small ones, in units of it. Where two
// hues lie within a hundredth of a degree of being opposite, the two may take the mean hue on different
// sides.
inline constexpr double quick_ciede2000_error = 2e-4;

// Colours one after the other, each number in a row of its own.
struct LabRows {
  const float *l, *a, *b;
};
void quick_ciede2000(const LabRows& reference, const LabRows& sample, float* difference, std::size_t count);

// L*, a*, b* of XYZ over its white, to within 1e-3.
void quick_lab(const float* x, const float* y, const float* z, std::size_t count, float* l, float* a,
               float* b);
// The same of sRGB codes.
void quick_lab(const Rgb8* colours, std::size_t count, float* l, float* a, float* b);

}  // namespace powderplan
