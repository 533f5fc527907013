// The parts of CIEDE2000 in single precision, without a branch or a call into the mathematics library, so
// that the compiler takes eight pairs side by side. For quick_difference.cpp, difference_keys.cpp and
// difference_bounds.cpp only; difference.cpp is the plain version.
#pragma once

#include <cmath>

#include "colour/difference_keys.h"

namespace powderplan::terms {

// Below this a chroma, and above that one, the seventh powers say no more in single precision.
inline constexpr float least_chroma = 0.01F, most_chroma = 4000.0F;
// Where a divisor might be 0 its numerator is too; any divisor will do.
inline constexpr float tiny = 1e-30F;

[[gnu::always_inline]] inline float least_of(float a, float b) {
  return a < b ? a : b;
}
[[gnu::always_inline]] inline float most_of(float a, float b) {
  return a > b ? a : b;
}

// sqrt(c^7 / (c^7 + 25^7))
[[gnu::always_inline]] inline float seventh_power_share(float chroma) {
  const float c = least_of(most_of(chroma, least_chroma), most_chroma);
  const float c2 = c * c, c7 = c2 * c2 * c2 * c;
  return std::sqrt(c7 / (c7 + 6103515625.0F));
}

// G of the standard, by which a* is stretched, from the mean of the two chromas.
[[gnu::always_inline]] inline float stretch(float mean_chroma) {
  return 0.5F - 0.5F * seventh_power_share(mean_chroma);
}

// Two colours in the plane of hue and chroma. The hue halfway is that of the sum of the two unit vectors,
// which needs no angle. Difference in hue: 2 sqrt(c1 c2) sin(half) = 2 cross / sqrt(2 (c1 c2 + dot)), or
// where the hues are more than a quarter turn apart sqrt(2 (c1 c2 - dot)) with the sign of the cross product.
struct Plane {
  float g;
  float d_a, d_b;      // with a* stretched
  float c1, c2;        // chromas with a* stretched
  float d_c, d_h;      // d_h is the standard's capital H
  float mid_a, mid_b;  // along the hue halfway, 2 c1 c2 cos(half) long
};
[[gnu::always_inline]] inline Plane plane_of(const QuickLab& one, const QuickLab& two) {
  Plane r;
  r.g = stretch(0.5F * (one.chroma + two.chroma));
  const float a1 = (1 + r.g) * one.a, a2 = (1 + r.g) * two.a;
  r.d_a = a2 - a1;
  r.d_b = two.b - one.b;
  r.c1 = std::sqrt(a1 * a1 + one.b * one.b);
  r.c2 = std::sqrt(a2 * a2 + two.b * two.b);
  r.d_c = r.c2 - r.c1;
  const float cross = a1 * r.d_b - one.b * r.d_a, dot = a1 * a2 + one.b * two.b;
  const float root = std::sqrt(2 * (r.c1 * r.c2 + std::abs(dot)) + tiny);
  r.d_h = dot < 0 ? std::copysign(root, cross) : 2 * cross / root;
  r.mid_a = a1 * r.c2 + a2 * r.c1;
  r.mid_b = one.b * r.c2 + two.b * r.c1;
  return r;
}

struct MeanHue {
  float mid_square;  // square of the length of mid
  float c, s;        // its cosine and sine
  float t, t_slope;  // T of the standard, and how it changes with the hue
  float turned;      // cosine of the angle from 275 degrees
  float rotation;    // sin(2 d_theta) of the standard
};
// sin(2 d_theta) is sin(60 degrees * e) with e = exp(-(angle from 275 degrees / 25 degrees)^2). As a function
// of w = 1 - cosine of that angle, the 16th root of e is a cubic to 1e-7; beyond a quarter turn e is under
// 3e-6. The sine is a polynomial to 2e-8. Both fitted for the least of the largest errors.
[[gnu::always_inline]] inline MeanHue mean_hue(float mid_a, float mid_b) {
  MeanHue r;
  r.mid_square = mid_a * mid_a + mid_b * mid_b + tiny;
  const float unit = 1 / std::sqrt(r.mid_square);
  const float c = mid_a * unit, s = mid_b * unit;
  r.c = c;
  r.s = s;
  const float c2 = 2 * c * c - 1, s2 = 2 * s * c;
  const float c3 = c * (2 * c2 - 1), s3 = s * (2 * c2 + 1);
  const float c4 = 2 * c2 * c2 - 1, s4 = 2 * s2 * c2;
  // Cosine and sine of 30, 6 and 63 degrees with their factors 0.17, 0.32 and 0.20.
  r.t = 1 - (0.147224319F * c + 0.085F * s) + 0.24F * c2 + (0.318247006F * c3 - 0.033449108F * s3) -
        (0.090798100F * c4 + 0.178201305F * s4);
  r.t_slope = (0.147224319F * s - 0.085F * c) - 0.48F * s2 - (0.954741018F * s3 + 0.100347324F * c3) +
              (0.363192400F * s4 - 0.712805220F * c4);
  r.turned = 0.087155743F * c - 0.996194698F * s;
  const float w = least_of(most_of(1 - r.turned, 0.0F), 1.0F);
  float e = 1 + w * (-0.65656191F + w * (0.10612418F - w * 0.0045821209F));
  e *= e;
  e *= e;
  e *= e;
  e *= e;
  const float e2 = e * e;
  r.rotation = e * (1.04719741F + e2 * (-0.19139486F + e2 * (0.0104876055F - e2 * 0.000264766142F)));
  return r;
}

[[gnu::always_inline]] inline float lightness_weight(float mean_lightness) {
  const float l50 = (mean_lightness - 50) * (mean_lightness - 50);
  return 1 + 0.015F * l50 / std::sqrt(20 + l50);
}

// Square of the difference; `r_t` without its sign.
[[gnu::always_inline]] inline float form(float l, float c, float h, float r_t) {
  return most_of(l * l + c * c + h * h - r_t * c * h, 0.0F);
}

}  // namespace powderplan::terms
