#include "layers/shape_measures.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

// Each point with the one before it.
template <class Use>
void for_each_edge(const PolygonMm& shape, const Use& use) {
  for (std::size_t i = 0; i < shape.size(); ++i)
    use(shape[i == 0 ? shape.size() - 1 : i - 1], shape[i]);
}

}  // namespace

double signed_area(const PolygonMm& shape) {
  double twice = 0;
  for_each_edge(shape, [&](PointMm a, PointMm b) { twice += a.x * b.y - b.x * a.y; });
  return twice / 2;
}

double length_mm(const PolygonMm& shape) {
  double length = 0;
  for_each_edge(shape, [&](PointMm a, PointMm b) { length += std::hypot(b.x - a.x, b.y - a.y); });
  return length;
}

PointMm centre_of(const PolygonMm& shape) {
  // From the first point, so that a small shape far from the origin loses no digits.
  const PointMm origin = shape.front();
  double twice = 0, x = 0, y = 0, sum_x = 0, sum_y = 0;
  for_each_edge(shape, [&](PointMm a, PointMm b) {
    const double ax = a.x - origin.x, ay = a.y - origin.y, bx = b.x - origin.x, by = b.y - origin.y;
    const double cross = ax * by - bx * ay;
    twice += cross;
    x += (ax + bx) * cross;
    y += (ay + by) * cross;
    sum_x += bx;
    sum_y += by;
  });
  if (std::abs(twice) > 1e-12)
    return {origin.x + x / (3 * twice), origin.y + y / (3 * twice)};
  const double count = static_cast<double>(shape.size());
  return {origin.x + sum_x / count, origin.y + sum_y / count};
}

BoxMm box_of(const PolygonMm& shape) {
  BoxMm box{shape.front().x, shape.front().y, shape.front().x, shape.front().y};
  for (const PointMm& p : shape) {
    box.left = std::min(box.left, p.x);
    box.right = std::max(box.right, p.x);
    box.top = std::min(box.top, p.y);
    box.bottom = std::max(box.bottom, p.y);
  }
  return box;
}

bool meets(PointMm a, PointMm b, const BoxMm& box) {
  // The part of the way, 0 at a and 1 at b, that lies on the inner side of all four edges.
  double from = 0, to = 1;
  const auto keep_inner = [&](double start, double step, double low, double high) {
    if (step == 0)
      return start >= low && start <= high;
    const double first = (low - start) / step, last = (high - start) / step;
    from = std::max(from, std::min(first, last));
    to = std::min(to, std::max(first, last));
    return from <= to;
  };
  return keep_inner(a.x, b.x - a.x, box.left, box.right) && keep_inner(a.y, b.y - a.y, box.top, box.bottom);
}

bool outline_meets(const PolygonMm& shape, const BoxMm& box) {
  bool met = false;
  for_each_edge(shape, [&](PointMm a, PointMm b) { met = met || meets(a, b, box); });
  return met;
}

}  // namespace powderplan
