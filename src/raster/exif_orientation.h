// The one EXIF entry that changes what a picture looks like.
#pragma once

#include "raster/picture_file.h"
#include "raster/stored_picture.h"

namespace powderplan {

// From a block of EXIF, with or without its "Exif\0\0" prefix. 1 (upright) when it says nothing sensible.
int exif_orientation(Bytes exif);

// Turned and mirrored so that row 0 is the visual top (EXIF 2.3, tag 0x0112, values 1 to 8).
// The result says 1.
StoredPicture upright(StoredPicture picture);

}  // namespace powderplan
