// Linear light row by row, made when it is asked for, so that no large picture is ever held in linear light
// as a whole (16 bytes a pixel).
#pragma once

#include "raster/picture_rows.h"

namespace powderplan {

// Linear light, sRGB primaries, not multiplied by alpha; values may lie outside 0..1 where the file's
// own colour space is larger than sRGB. Alpha 0 = bare sheet, 1 = picture.
struct LinearPixel {
  float r = 0, g = 0, b = 0, alpha = 1;
};

// Counted from the visual top. Beyond what PictureRows promise, rows may be asked for in any order, more than
// once and by several threads at once.
using LightRows = PictureRows<LinearPixel>;

// All of them. Rows run in parallel.
Image<LinearPixel> image_of(const LightRows& rows);

}  // namespace powderplan
