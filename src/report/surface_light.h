// How one light falls on the grains of a surface.
//
// The light comes from above left, softened by the room. What it does to a field of grains leaves the mean
// colour of the field alone: shares of shading and of gleam are measured from their own means over a grain.
#pragma once

#include "optics/finish.h"
#include "optics/stack.h"

namespace powderplan {

// A layer's surface under the light, by the slopes of its grains (report/sifted_grains.h).
class SurfaceLight {
 public:
  // Grains whose slopes lie evenly in a disc of radius `steepest_slope(values)`.
  SurfaceLight(const FinishValues& values, View view);

  // What the colour is multiplied with. On a wall: a matt slope turned towards the light (Lambert 1760), to
  // first order in the slope, so that its mean over a grain is 1. In a window: a grain as a weak lens,
  // lighter in its middle, darker at its edge, mean 1.
  [[nodiscard]] float shade(float slope_x, float slope_y) const;
  // The same of many grains, by the mean of their slopes.
  [[nodiscard]] float mean_shade(float slope_x, float slope_y) const;
  // What is added to the colour, as share of white light, mean 0 over a grain: facets that mirror the light
  // (Beckmann and Spizzichino 1963: exp(-|slope - slope of the mirror|^2 / m^2), from memory). The mean of
  // what a rough surface mirrors, `matte` times the outer reflection, is in the predicted colour already.
  // None in a window.
  [[nodiscard]] float gleam(float slope_x, float slope_y) const;

 private:
  View view_;
  float steepest_ = 0, strength_ = 0, mean_gleam_ = 0;
};

// Direction to the light, x to the right, y down, z towards the viewer; length 1.
struct Direction {
  double x, y, z;
};
inline constexpr Direction to_the_light{-0.50, -0.62, 0.6045};
// Share of the light that comes straight from there; the rest comes from everywhere.
inline constexpr double straight_light = 0.55;

}  // namespace powderplan
