// What was measured of powders beside what is predicted of them, to judge a fit by eye.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "colour/tristimulus.h"
#include "measure/measured_powder.h"
#include "raster/image.h"

namespace powderplan {

struct FittedPowder {
  std::string name;    // as on the jar
  std::string source;  // what was measured, in words: "tile.jpg, row 2"
  Readings readings;
  MeasuredPowder measured;
};

// For each powder its name, where the readings come from, the residual and the expected error; for each
// ground the measured colours on top of the predicted ones, lightest load first, with their difference and
// what it was when the load was left out; then lightness against load, predicted as a curve, measured as
// points.
Image<Rgb8> fit_chart(const std::vector<FittedPowder>& powders);
// The same as PNG, 190 mm wide for up to eleven loads.
std::vector<std::uint8_t> fit_chart_png(const std::vector<FittedPowder>& powders);

}  // namespace powderplan
