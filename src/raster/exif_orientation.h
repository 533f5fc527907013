// The one EXIF entry that changes what a picture looks like.
#pragma once

#include "raster/picture.h"
#include "raster/picture_file.h"

namespace powderplan {

// From a block of EXIF, with or without its "Exif\0\0" prefix. 1 (upright) when it says nothing sensible.
int exif_orientation(Bytes exif);

// Turned and mirrored so that row 0 is the visual top (EXIF 2.3, tag 0x0112, values 1 to 8).
Image<LinearPixel> upright(Image<LinearPixel> pixels, int orientation);

}  // namespace powderplan
