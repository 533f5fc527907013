#include "layers/stencil_effort.h"

#include <cmath>

#include "layers/shape_measures.h"

namespace powderplan {
namespace {

constexpr double degrees = 180 / 3.14159265358979323846;

// Without points that fall together, which have no direction.
PolygonMm distinct(const PolygonMm& shape) {
  PolygonMm points;
  for (const PointMm& p : shape) {
    if (points.empty() || !(p == points.back()))
      points.push_back(p);
  }
  while (points.size() > 1 && points.front() == points.back())
    points.pop_back();
  return points;
}

}  // namespace

std::size_t corners_of(const PolygonMm& shape) {
  const PolygonMm points = distinct(shape);
  const std::size_t n = points.size();
  if (n < 3)
    return 0;
  // Edge i runs from point i to the next; turn i is at its start.
  std::vector<double> length(n), turn(n);
  std::size_t longest = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const PointMm a = points[(i + n - 1) % n], b = points[i], c = points[(i + 1) % n];
    const double ux = b.x - a.x, uy = b.y - a.y, vx = c.x - b.x, vy = c.y - b.y;
    turn[i] = std::atan2(ux * vy - uy * vx, ux * vx + uy * vy) * degrees;
    length[i] = std::hypot(vx, vy);
    if (length[i] > length[longest])
      longest = i;
  }
  // From the end of the longest edge, so that no corner is cut in two by the start.
  std::size_t corners = 0;
  for (std::size_t k = 1; k <= n;) {
    double way = 0, turned = 0;
    std::size_t next = k;
    bool corner = false;
    while (next < k + n && way <= corner_way.value() && !corner) {
      turned += turn[(longest + next) % n];
      way += length[(longest + next) % n];
      ++next;
      corner = std::abs(turned) >= corner_turn_deg;
    }
    corners += corner ? 1 : 0;
    k = corner ? next : k + 1;
  }
  return corners;
}

StencilEffort stencil_effort(const Stencil& stencil, const SheetStock& stock, const CuttingPace& pace) {
  StencilEffort effort{
      .openings = stencil.openings.size(), .bridges = stencil.bridges.size(), .cut = Millimetres(0)};
  for (const PolygonMm& opening : stencil.openings) {
    effort.cut += Millimetres(length_mm(opening));
    effort.corners += corners_of(opening);
  }
  const double seconds_a_pass = effort.cut.value() / pace.mm_per_minute * 60 +
                                static_cast<double>(effort.corners) * pace.seconds_per_corner;
  const double seconds =
      seconds_a_pass * stock.passes + static_cast<double>(effort.openings) * pace.seconds_per_opening;
  effort.minutes = seconds / 60;
  return effort;
}

}  // namespace powderplan
