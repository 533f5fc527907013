// What the piece should look like: the picture on the millimetre grid, brought into what the shelf reaches.
#pragma once

#include <cstdint>

#include "colour/tristimulus.h"
#include "raster/fit.h"
#include "raster/image.h"
#include "recipe/shelf_reach.h"

namespace powderplan {

// Lab in single precision, for whole pictures.
struct LabPixel {
  float l = 0, a = 0, b = 0;
};
inline Lab to_lab(const LabPixel& p) {
  return {p.l, p.a, p.b};
}
inline LabPixel to_pixel(const Lab& c) {
  return {static_cast<float>(c.l), static_cast<float>(c.a), static_cast<float>(c.b)};
}

struct Target {
  Grid grid;
  Image<LabPixel> wanted;    // fitted to the shelf, or as the picture is
  Image<LabPixel> picture;   // as the picture is
  Image<std::uint8_t> bare;  // 1 where the picture is transparent: bare sheet is wanted
  // How much of each point the picture covers, 0 to 255. Empty: all of it, or nothing where it is bare.
  Image<std::uint8_t> alpha{};
};

// The picture as it is; `wanted` and `picture` are equal.
Target target_of(const FittedRows& picture);
Target target_of(const FittedPicture& picture);

// Brings `wanted` into what the shelf reaches. The picture's range of lightness (its 0.1 and 99.9
// percentiles) is pressed evenly into the shelf's range where it sticks out of it, and left alone where it
// does not; chroma beyond three quarters of what the shelf reaches at that hue and lightness is pressed
// smoothly below the limit.
void fit_range(Target& target, const ShelfReach& reach);

Image<Rgb8> to_rgb(const Image<LabPixel>& picture);

}  // namespace powderplan
