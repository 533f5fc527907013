#include "report/surface_light.h"

#include <cmath>
#include <numbers>

#include "optics/surface.h"
#include "report/sifted_grains.h"

namespace powderplan {
namespace {

// Roughness of a grain's own surface: a root of mean square slopes, of our choosing.
constexpr double roughness = 0.22;
// How much brighter than the mean a facet in mirror position is: of our choosing, discreet.
constexpr double brightest = 5;
// A lens of glass in the path of light from behind, at the steepest slope of 1.
constexpr float lens_strength = 0.08F;

constexpr auto shade_x = static_cast<float>(-straight_light * to_the_light.x / to_the_light.z);
constexpr auto shade_y = static_cast<float>(-straight_light * to_the_light.y / to_the_light.z);

// The slope that mirrors the light to a viewer straight above: half way between both directions.
constexpr auto mirror_x = static_cast<float>(-to_the_light.x / (to_the_light.z + 1));
constexpr auto mirror_y = static_cast<float>(-to_the_light.y / (to_the_light.z + 1));

float facets(float x, float y) {
  const float dx = x - mirror_x, dy = y - mirror_y;
  return std::exp(-(dx * dx + dy * dy) / static_cast<float>(roughness * roughness));
}

float mean_over_disc(double radius) {
  constexpr int rings = 24, turns = 48;
  double sum = 0;
  for (int r = 0; r < rings; ++r) {
    const double at = radius * std::sqrt((r + 0.5) / rings);
    for (int t = 0; t < turns; ++t) {
      const double angle = 2 * std::numbers::pi * t / turns;
      sum += static_cast<double>(
          facets(static_cast<float>(at * std::cos(angle)), static_cast<float>(at * std::sin(angle))));
    }
  }
  return static_cast<float>(sum / (rings * turns));
}

}  // namespace

SurfaceLight::SurfaceLight(const FinishValues& values, View view)
    : view_(view),
      steepest_(static_cast<float>(steepest_slope(values))),
      strength_(static_cast<float>(glass_surface().outer * values.matte * brightest)),
      mean_gleam_(mean_over_disc(steepest_slope(values))) {}

float SurfaceLight::shade(float x, float y) const {
  if (view_ == View::wall)
    return 1 + shade_x * x + shade_y * y;
  if (steepest_ <= 0)
    return 1;
  const float share = (x * x + y * y) / (steepest_ * steepest_);
  return 1 + lens_strength * steepest_ * (1 - 2 * share);
}

float SurfaceLight::mean_shade(float x, float y) const {
  return view_ == View::wall ? shade(x, y) : 1;
}

float SurfaceLight::gleam(float x, float y) const {
  return view_ == View::wall && strength_ > 0 ? strength_ * (facets(x, y) - mean_gleam_) : 0;
}

}  // namespace powderplan
