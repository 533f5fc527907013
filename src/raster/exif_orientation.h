// The one EXIF entry that changes what a picture looks like.
#pragma once

#include "raster/picture_file.h"
#include "raster/stored_picture.h"

namespace powderplan {

// What a block of EXIF states, with or without its "Exif\0\0" prefix: 1 to 8, or a number that means nothing.
// 1 (upright) when it states none.
int exif_orientation(Bytes exif);
// Puts what a file states into the picture; of what means nothing it keeps 1 and a note.
void take_orientation(StoredPicture& picture, int stated);

// Turned and mirrored so that row 0 is the visual top (EXIF 2.3, tag 0x0112, values 1 to 8).
// The result says 1.
StoredPicture upright(StoredPicture picture);

}  // namespace powderplan
