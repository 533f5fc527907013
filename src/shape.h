// Points, lines and closed shapes on a flat thing (the piece, a page, a card), in millimetres from its top
// left corner, y downwards.
#pragma once

#include <vector>

namespace powderplan {

struct PointMm {
  double x = 0, y = 0;
  friend bool operator==(const PointMm&, const PointMm&) = default;
};

struct BoxMm {
  double left = 0, top = 0, right = 0, bottom = 0;
};

// An open line through its points.
using LineMm = std::vector<PointMm>;
// A closed shape; the last point joins the first, which is not repeated.
using PolygonMm = std::vector<PointMm>;

}  // namespace powderplan
