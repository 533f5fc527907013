// Which part of a piece to look at from near.
#pragma once

#include "colour/tristimulus.h"
#include "raster/image.h"
#include "shape.h"
#include "units.h"

namespace powderplan {

// The part of this size with the most going on: where colours change most between points a millimetre apart.
// `picture` shows the piece, `width` wide. In mm from its top left corner; the whole piece where it is
// smaller. Of parts alike the one nearest to the top left.
BoxMm busiest_part(const Image<Rgb8>& picture, Millimetres width, Millimetres part_width,
                   Millimetres part_height);

}  // namespace powderplan
