// Stencils by formula: smooth shapes with a known middle, turned as asked.
#pragma once

#include <cmath>
#include <numbers>

#include "layers/stencil.h"

namespace powderplan::fixture {

// r = radius * (1 + depth * cos(lobes * angle) + lean * sin(angle)), turned clockwise as seen. With `lean` no
// turn brings it onto itself, and only its mirror image onto the mirrored one.
inline PolygonMm lobed(PointMm middle, double radius, int lobes, double depth, double turn_deg = 0,
                       double lean = 0, int points = 160) {
  PolygonMm shape;
  for (int i = 0; i < points; ++i) {
    const double angle = 2 * std::numbers::pi * i / points;
    const double r = radius * (1 + depth * std::cos(lobes * angle) + lean * std::sin(angle));
    const double seen = angle + turn_deg * std::numbers::pi / 180;
    shape.push_back({middle.x + r * std::cos(seen), middle.y + r * std::sin(seen)});
  }
  return shape;
}

inline PolygonMm box_shape(double left, double top, double right, double bottom) {
  return {{left, top}, {right, top}, {right, bottom}, {left, bottom}};
}

inline Stencil sheet(double width, double height, double border = 25) {
  Stencil stencil;
  stencil.width = Millimetres(width);
  stencil.height = Millimetres(height);
  stencil.border = Millimetres(border);
  stencil.pin = Millimetres(4);
  const double middle = border / 2;
  stencil.pins = {{-middle, -middle}, {width + middle, -middle}, {width / 2, height + middle}};
  return stencil;
}

// Four openings of different sizes, all measured by the shorter side.
inline Stencil trial_stencil(double width, double height, double border = 25) {
  Stencil stencil = sheet(width, height, border);
  const double unit = std::min(width, height);
  stencil.openings = {lobed({width * 0.30, height * 0.35}, unit * 0.18, 5, 0.3, 10),
                      lobed({width * 0.72, height * 0.30}, unit * 0.15, 3, 0.2, 0, 0.15),
                      lobed({width * 0.50, height * 0.75}, unit * 0.12, 7, 0.15),
                      box_shape(width * 0.06, height * 0.7, width * 0.06 + unit * 0.1, height * 0.9)};
  return stencil;
}

}  // namespace powderplan::fixture
