// What the piece should look like: the picture on the millimetre grid, brought into what the shelf reaches.
#pragma once

#include <cstdint>

#include "raster/fit.h"
#include "raster/image.h"
#include "recipe/shelf_reach.h"
#include "separation/packed_lab.h"

namespace powderplan {

struct Target {
  Grid grid;
  Image<PackedLab> wanted;   // fitted to the shelf, or as the picture is
  Image<PackedLab> picture;  // as the picture is; empty: as wanted
  Image<std::uint8_t> bare;  // 1 where the picture is transparent: bare sheet is wanted; empty: nowhere
  // How much of each point the picture covers, 0 to 255. Empty: all of it, or nothing where it is bare.
  Image<std::uint8_t> alpha{};

  [[nodiscard]] const Image<PackedLab>& as_it_is() const { return picture.empty() ? wanted : picture; }
  [[nodiscard]] bool is_bare(std::size_t point) const { return !bare.empty() && bare[point] != 0; }
};

// The picture as it is: `picture` is empty, and so are `bare` and `alpha` where they tell nothing.
Target target_of(const FittedRows& picture);
Target target_of(const FittedPicture& picture);

// Brings `wanted` into what the shelf reaches. The picture's range of lightness (its 0.1 and 99.9
// percentiles) is pressed evenly into the shelf's range where it sticks out of it, and left alone where it
// does not; chroma beyond three quarters of what the shelf reaches at that hue and lightness is pressed
// smoothly below the limit.
void fit_range(Target& target, const ShelfReach& reach);

Image<Rgb8> to_rgb(const Image<PackedLab>& picture);

}  // namespace powderplan
