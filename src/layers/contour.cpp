#include "layers/contour.h"

#include "layers/outline_simplify.h"
#include "layers/outline_smooth.h"
#include "layers/outline_trace.h"
#include "parallel.h"

namespace powderplan {
namespace {

PolygonMm in_millimetres(PolygonMm polygon, Millimetres pitch) {
  for (PointMm& p : polygon)
    p = {p.x * pitch.value(), p.y * pitch.value()};
  return polygon;
}

// An outline drawn more and more closely: level 0 is within the tolerance, the last is the traced chain,
// which cannot meet another.
class Outline {
 public:
  explicit Outline(std::vector<TracedPoint> traced) : traced_(std::move(traced)), smooth_(smoothed(traced_)) {
    for (const TracedPoint& p : traced_)
      kept_.push_back(p.freedom != Freedom::all);
  }

  static constexpr int last_level = 4;
  [[nodiscard]] PolygonMm drawn(int level, double tolerance) const {
    if (level < last_level - 1)
      return simplified(smooth_, kept_, tolerance / (1 << (2 * level)));
    if (level == last_level - 1)
      return smooth_;
    PolygonMm steps;
    for (const TracedPoint& p : traced_)
      steps.push_back({p.x, p.y});
    return steps;
  }

 private:
  std::vector<TracedPoint> traced_;
  std::vector<PointMm> smooth_;
  std::vector<bool> kept_;
};

}  // namespace

std::vector<PolygonMm> contours(const BitMask& mask, Millimetres pitch, Millimetres tolerance) {
  std::vector<std::vector<TracedPoint>> traced = traced_outlines(mask);
  // Half for the chords, half for the lines laid among the points.
  const double within = tolerance / pitch / 2;
  std::vector<Outline> outlines(traced.size(), Outline({}));
  std::vector<PolygonMm> polygons(traced.size());
  for_each_block(traced.size(), [&](std::size_t i) {
    outlines[i] = Outline(std::move(traced[i]));
    polygons[i] = outlines[i].drawn(0, within);
  });
  std::vector<int> level(outlines.size(), 0);
  for (bool closer = true; closer;) {
    closer = false;
    for (const std::size_t i : entangled(polygons)) {
      if (level[i] < Outline::last_level) {
        polygons[i] = outlines[i].drawn(++level[i], within);
        closer = true;
      }
    }
  }
  for (PolygonMm& polygon : polygons)
    polygon = in_millimetres(std::move(polygon), pitch);
  return polygons;
}

}  // namespace powderplan
