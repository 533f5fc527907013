// sRGB by tables, for pictures of millions of pixels.
#pragma once

#include <array>
#include <cstddef>

#include "colour/tristimulus.h"

namespace powderplan {

// Linear light of a code, as to_linear_rgb.
LinearRgb quick_linear(const Rgb8& colour);
// As to_rgb8, to within one code: light is first rounded to 65535ths.
Rgb8 quick_rgb8(const LinearRgb& colour);

// As to_rgb8, to the last code.
Rgb8 exact_rgb8(const LinearRgb& colour);

// Neutral greys that follow the lightness of colours: CIE L* of the grey = `least` + `share` * L* of the
// colour, to within one code.
class GreyByLightness {
 public:
  GreyByLightness(double least, double share);
  Rgb8 operator()(const Rgb8& colour) const { return greys_[step(colour)]; }
  // The L* that a colour counts as.
  static double lightness(const Rgb8& colour) {
    return static_cast<double>(step(colour)) / steps_a_lightness;
  }

 private:
  static constexpr std::size_t steps_a_lightness = 20;
  static std::size_t step(const Rgb8& colour);
  std::array<Rgb8, 100 * steps_a_lightness + 1> greys_;
};

}  // namespace powderplan
