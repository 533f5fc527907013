#include "layers/panel_stencil.h"

#include <algorithm>
#include <cmath>
#include <polyclipping/clipper.hpp>

#include "layers/make_stencil.h"
#include "layers/shape_measures.h"

namespace powderplan {
namespace {

// Clipper counts in whole units.
constexpr double units_per_mm = 1000;

ClipperLib::IntPoint in_units(PointMm p) {
  return {std::llround(p.x * units_per_mm), std::llround(p.y * units_per_mm)};
}

bool within(const BoxMm& inner, const BoxMm& outer) {
  return inner.left >= outer.left && inner.top >= outer.top && inner.right <= outer.right &&
         inner.bottom <= outer.bottom;
}

bool apart(const BoxMm& one, const BoxMm& other) {
  return one.right <= other.left || one.left >= other.right || one.bottom <= other.top ||
         one.top >= other.bottom;
}

// The parts of a simple shape that lie in the box, by where they begin from the top.
std::vector<PolygonMm> parts_in(const PolygonMm& shape, const BoxMm& box) {
  ClipperLib::Path subject;
  for (const PointMm& p : shape)
    subject.push_back(in_units(p));
  const ClipperLib::Path frame{in_units({box.left, box.top}), in_units({box.right, box.top}),
                               in_units({box.right, box.bottom}), in_units({box.left, box.bottom})};
  ClipperLib::Clipper clipper;
  clipper.StrictlySimple(true);
  clipper.AddPath(subject, ClipperLib::ptSubject, true);
  clipper.AddPath(frame, ClipperLib::ptClip, true);
  ClipperLib::Paths found;
  clipper.Execute(ClipperLib::ctIntersection, found, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
  std::vector<PolygonMm> parts;
  for (const ClipperLib::Path& path : found) {
    PolygonMm part;
    for (const ClipperLib::IntPoint& p : path)
      part.push_back({static_cast<double>(p.X) / units_per_mm, static_cast<double>(p.Y) / units_per_mm});
    const BoxMm size = box_of(part);
    // Along an edge of the panel such a sliver is as narrow as its box.
    if (std::min(size.right - size.left, size.bottom - size.top) >= least_cut_opening.value())
      parts.push_back(std::move(part));
  }
  std::stable_sort(parts.begin(), parts.end(), [](const PolygonMm& a, const PolygonMm& b) {
    const BoxMm one = box_of(a), other = box_of(b);
    return one.top != other.top ? one.top < other.top : one.left < other.left;
  });
  return parts;
}

PointMm moved(PointMm p, PointMm origin) {
  return {p.x - origin.x, p.y - origin.y};
}

PolygonMm moved(PolygonMm shape, PointMm origin) {
  for (PointMm& p : shape)
    p = moved(p, origin);
  return shape;
}

// Along an edge from one place of the piece to another.
std::vector<double> marks_between(double from, double to) {
  const int first = static_cast<int>(std::ceil((from + edge_mark_clear.value()) / mark_step.value()));
  const int last = static_cast<int>(std::floor((to - edge_mark_clear.value()) / mark_step.value()));
  std::vector<double> places;
  for (int i = first; i <= last; ++i)
    places.push_back(i * mark_step.value());
  return places;
}

// On the edges that are not the piece's own; places are of the piece.
std::vector<StencilMark> marks_of(const BoxMm& panel, const Stencil& whole, double near) {
  constexpr double hair = 1e-6;
  const double far = near + mark_length.value();
  std::vector<StencilMark> marks;
  const std::vector<double> columns = marks_between(panel.left, panel.right),
                            rows = marks_between(panel.top, panel.bottom);
  const auto add = [&](bool shared, double edge, double outwards, bool level) {
    if (!shared)
      return;
    for (const double at : level ? columns : rows) {
      const double begin = edge + outwards * near, end = edge + outwards * far;
      marks.push_back(level ? StencilMark{{at, begin}, {at, end}, at}
                            : StencilMark{{begin, at}, {end, at}, at});
    }
  };
  add(panel.top > hair, panel.top, -1, true);
  add(panel.right < whole.width.value() - hair, panel.right, 1, false);
  add(panel.bottom < whole.height.value() - hair, panel.bottom, 1, true);
  add(panel.left > hair, panel.left, -1, false);
  return marks;
}

bool beside_pin(const StencilMark& mark, const Stencil& stencil, Millimetres web) {
  const double reach = stencil.pin.value() / 2 + web.value();
  return std::any_of(stencil.pins.begin(), stencil.pins.end(), [&](PointMm pin) {
    return meets(mark.from, mark.to, {pin.x - reach, pin.y - reach, pin.x + reach, pin.y + reach});
  });
}

}  // namespace

Stencil panel_stencil(const Stencil& whole, const BoxMm& panel, const StencilRules& rules) {
  const PointMm origin{panel.left, panel.top};
  StencilRules own = rules;
  own.border = std::max(whole.border, least_panel_border);
  Stencil stencil;
  stencil.width = Millimetres(panel.right - panel.left);
  stencil.height = Millimetres(panel.bottom - panel.top);
  stencil.border = own.border;
  stencil.pin = whole.pin;
  stencil.pins = pin_places(stencil.width, stencil.height, own);
  for (const PolygonMm& opening : whole.openings) {
    const BoxMm box = box_of(opening);
    if (apart(box, panel))
      continue;
    if (within(box, panel)) {
      stencil.openings.push_back(moved(opening, origin));
      continue;
    }
    for (PolygonMm& part : parts_in(opening, panel))
      stencil.openings.push_back(moved(std::move(part), origin));
  }
  for (const Bridge& bridge : whole.bridges) {
    if (apart(box_of(bridge.middle), panel))
      continue;
    stencil.bridges.push_back({moved(bridge.middle, origin), bridge.error_cm2});
  }
  const Millimetres near = std::max(edge_mark_clear, rules.smallest);
  if (near + mark_length + rules.smallest > stencil.border)
    return stencil;
  for (StencilMark mark : marks_of(panel, whole, near.value())) {
    mark.from = moved(mark.from, origin);
    mark.to = moved(mark.to, origin);
    if (!beside_pin(mark, stencil, edge_mark_clear))
      stencil.marks.push_back(mark);
  }
  return stencil;
}

}  // namespace powderplan
