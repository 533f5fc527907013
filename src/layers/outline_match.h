// Whether two closed outlines are the same shape, turned and moved but not mirrored.
#pragma once

#include <optional>
#include <vector>

#include "shape.h"
#include "units.h"

namespace powderplan {

// An outline made ready for comparing.
struct MatchOutline {
  PolygonMm points;     // about its centre, round clockwise as seen
  PolygonMm samples;    // evenly along the outline, from its first point
  PointMm centre;       // of its area, on the piece
  double area = 0;      // mm2
  double length = 0;    // mm
  double farthest = 0;  // of a point from the centre, mm
};

// Needs at least three points with some area.
MatchOutline match_outline(const PolygonMm& shape);

// How the first outline comes to lie on the other: turned about its own centre by `angle_deg` (clockwise as
// seen, above -180 and at most 180), then its centre put at `centre` on the piece.
struct OutlinePose {
  PointMm centre;
  double angle_deg = 0;
  double distance = 0;  // largest between the outlines then (Hausdorff 1914), mm
};

// The best pose, when it brings the outlines within `tolerance` of each other. An unturned pose is taken
// where it is good enough; of other poses the nearest. Turns are sought by correlating points taken evenly
// along both outlines at all starting points (Persoon and Fu 1977, IEEE Trans. Syst. Man Cybern. 7, 170),
// then refined by iterating closest points, both ways (Besl and McKay 1992, IEEE Trans. Pattern Anal. 14,
// 239). The distance is taken at all points and samples of both outlines.
std::optional<OutlinePose> pose_on(const MatchOutline& first, const MatchOutline& other,
                                   Millimetres tolerance, bool turned);

// Turned by the angle (clockwise as seen), then moved so that the old origin lies at `centre`.
PolygonMm placed(const PolygonMm& shape, PointMm centre, double angle_deg);

}  // namespace powderplan
