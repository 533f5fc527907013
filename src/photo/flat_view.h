// Where a place on a flat card is seen in its photo: a plane under perspective (a homography; Hartley and
// Zisserman 2004, Multiple View Geometry, section 2.3, from memory). Lens distortion is not modelled.
#pragma once

#include <array>

#include "photo/photo_point.h"
#include "shape.h"

namespace powderplan {

// How places near one point move in the photo: d(pixel) = slope * d(mm), row by row.
using Slope = std::array<std::array<double, 2>, 2>;

class FlatView {
 public:
  // Takes each point of the card to its place in the photo. Exact for four points of which no three lie on a
  // line; for others its places
  // mean nothing.
  FlatView(const std::array<PointMm, 4>& card, const std::array<PhotoPoint, 4>& photo);
  // Parallel lines stay parallel: `centre` is the place of the card's 0, 0.
  FlatView(PhotoPoint centre, const Slope& slope);

  [[nodiscard]] PhotoPoint at(PointMm place) const;
  [[nodiscard]] Slope slope_at(PointMm place) const;

 private:
  std::array<double, 9> matrix_;
};

// Pixels in a millimetre along the two axes of the small ellipse that a small circle becomes, longer first.
std::array<double, 2> pixels_per_mm(const Slope& slope);
// How far from square on that place is looked at, in degrees: the shorter axis is foreshortened by its cosine
// (Hartley and Zisserman, as above, for a camera with square pixels and a narrow view).
double degrees_off_square(const Slope& slope);

}  // namespace powderplan
