// A rectangle of a picture brought to another number of points.
#pragma once

#include <vector>

#include "raster/light_rows.h"

namespace powderplan {

// One edge of the rectangle: points of `scale` pixels each, the first beginning at `begin`, which may lie
// outside the picture. Only pixels inside [inside_begin, inside_end) count: what a point has outside counts
// as bare sheet. All in pixels; pixel i covers [i, i + 1).
struct ResampleAxis {
  int points = 0;
  double begin = 0, scale = 1;
  double inside_begin = 0, inside_end = 0;
};

// Premultiplied inside, straight outside. `scale` above 1: the mean over each point's own square, with
// the pixels on its border counted in part. Below 1: Catmull-Rom (1974) held between the two pixels next to
// the point, so an edge gets no halo. A colour where alpha is 0 comes out as 0. Both axes have one scale.
LightRows resample(LightRows picture, const ResampleAxis& across, const ResampleAxis& down);

}  // namespace powderplan
