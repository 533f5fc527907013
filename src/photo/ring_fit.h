// How well a place in a photo looks like a mark's rings, and where exactly the mark's centre is.
#pragma once

#include "photo/flat_view.h"
#include "raster/image.h"

namespace powderplan {

struct RingFit {
  // Correlation between the place and the ideal rings, a slope of light left out of account: 1 is perfect,
  // 0 is nothing alike, negative is white for black.
  double match = 0;
  bool has_eye = false;  // the rings with the white eye fit better than those without
  double eye_lead = 0;   // by how much: match with the eye less match without
  PointMm shift;         // from the supposed centre to the true one
  double blur_mm = 0;    // standard deviation of the blur of edges
  double black = 0, white = 0;
};

// From one that is thought to be at `centre`. Brought flat by `view`, so that perspective moves nothing. The
// rings are compared at blurs up to `most_ring_blur`; the shift is followed up to about 2 mm.
// Points are taken about a pixel apart, but no closer than `finest_step` mm.
RingFit fit_rings(const Image<float>& luminance, const FlatView& view, PointMm centre,
                  double finest_step = 0.2);
inline constexpr double most_ring_blur = 1.4;  // mm

}  // namespace powderplan
