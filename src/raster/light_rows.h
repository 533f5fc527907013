// A picture whose rows of linear light are made when they are asked for, so that no large picture is ever
// held in linear light as a whole (16 bytes a pixel).
#pragma once

#include <functional>

#include "raster/picture.h"

namespace powderplan {

struct LightRows {
  int width = 0, height = 0;
  // Fills out[0 .. width) with row y, counted from the visual top. May be called from several threads at
  // once.
  std::function<void(int y, LinearPixel* out)> row;
};

// The rows of a picture that is whole in memory and must outlive them.
LightRows rows_of(const Image<LinearPixel>& picture);
// The reverse. Rows run in parallel.
Image<LinearPixel> image_of(const LightRows& rows);

}  // namespace powderplan
