// Linear light read from a photo at places between its pixels, and its mean over small pieces of the card.
#pragma once

#include "colour/tristimulus.h"
#include "photo/flat_view.h"
#include "raster/picture.h"

namespace powderplan {

// A channel from here on counts as clipped: code 254.2 of 255.
inline constexpr float clipped_from = 0.993f;

// Luminance of every pixel, linear.
Image<float> luminance_of(const Image<LinearPixel>& photo);

// Between the four nearest pixels. False when the place lies outside the picture; `value` is then untouched.
bool light_at(const Image<float>& photo, PhotoPoint place, float& value);

struct PieceLight {
  LinearRgb mean, median;  // of each channel
  double clipped = 0;      // share of the points with a channel at full
  double outside = 0;      // share of the points that lie outside the photo; the others make up the rest
};

enum class Wanted { mean, mean_and_median };
// Sampled about as finely as the photo's pixels are there, and at least `least_across` times across. The
// piece must be small: perspective is taken as straight within it.
PieceLight piece_light(const Image<LinearPixel>& photo, const FlatView& view, const BoxMm& piece,
                       Wanted wanted = Wanted::mean, int least_across = 3);

}  // namespace powderplan
