#include "colour/difference_bounds.h"

#include <algorithm>
#include <array>
#include <limits>

#include "colour/difference_terms.h"
#include "wide_vectors.h"

namespace powderplan {
namespace {

using terms::least_of;
using terms::most_of;

constexpr float span_of_t = 1.86F, curve_of_t = 7.21F;
constexpr float slope_of_s_l = 0.01634F;
constexpr float slope_of_r_c = 0.123F;
constexpr float most_rotation = 0.8660255F;  // sin 60 degrees
// How fast sin(2 d_theta) changes with the hue at most, x the cosine of the angle from 275 degrees: this, and
// never more than at x = 0.95.
[[gnu::always_inline]] inline float slope_of_rotation(float x) {
  const float past = most_of(x - 0.2588F, 0.0F);
  return least_of(0.005F + 6.3F * past * past * past, 2.06F);
}
constexpr float rotation_above = 1e-4F;  // more than it is where both b >= 0
constexpr float margin = 1e-3F;
constexpr float no_model = 1e9F;

[[gnu::always_inline]] inline float root(float square) {
  return std::sqrt(most_of(square, 0.0F));
}

// Most that a colour of the box moves from its middle in the plane, a* stretched by at most 1 + g.
[[gnu::always_inline]] inline float reach(const ColourBox& box, float g) {
  const float a = (1 + g) * box.half_a;
  return std::sqrt(a * a + box.half_b * box.half_b);
}

[[gnu::always_inline]] inline DifferenceModel model_of(const ColourBox& one, const ColourBox& two) {
  DifferenceModel r;
  const terms::Plane at = terms::plane_of(one.middle, two.middle);
  const terms::MeanHue hue = terms::mean_hue(at.mid_a, at.mid_b);
  const float cc = at.c1 * at.c2, half_cos_square = hue.mid_square / (4 * cc * cc + terms::tiny);
  const float d_l = std::abs(two.middle.l - one.middle.l), mean_l = 0.5F * (two.middle.l + one.middle.l);
  const float mean_c = 0.5F * (at.c1 + at.c2);
  const float s_l = terms::lightness_weight(mean_l), s_c = 1 + 0.045F * mean_c;
  const float s_h = 1 + 0.015F * mean_c * hue.t, share = terms::seventh_power_share(mean_c);
  const float r_t = 2 * hue.rotation * share;
  const float middle = root(terms::form(d_l / s_l, at.d_c / s_c, at.d_h / s_h, r_t));

  // How far everything moves.
  const float mean_chroma = 0.5F * (one.middle.chroma + two.middle.chroma);
  const float chroma_moves = 0.5F * (reach(one, 0) + reach(two, 0));
  const float g_most = terms::stretch(mean_chroma - chroma_moves);
  const float g_least = terms::stretch(mean_chroma + chroma_moves);
  const float d_g = most_of(g_most - at.g, at.g - g_least) + 1e-5F;
  const float d1 = reach(one, g_most), d2 = reach(two, g_most), d_both = d1 + d2;
  const float l_moves = one.half_l + two.half_l;
  const float apart = std::sqrt(at.d_a * at.d_a + at.d_b * at.d_b);
  const float apart_most = (apart + d_both) * (1 + d_g);
  const float mean_c_most = (mean_c + 0.5F * d_both) * (1 + d_g);
  const float d_mean_c = 0.5F * d_both + d_g * mean_c_most;
  const float turn1 = d1 / (at.c1 + terms::tiny), turn2 = d2 / (at.c2 + terms::tiny);
  // asin(x) <= x / sqrt(1 - x^2)
  const float turn = 0.5F * (turn1 / std::sqrt(most_of(1 - turn1 * turn1, 0.01F)) +
                             turn2 / std::sqrt(most_of(1 - turn2 * turn2, 0.01F)) + d_g);
  const float d_s_l = 0.5F * slope_of_s_l * l_moves, d_s_c = 0.045F * d_mean_c;

  // 2. Whatever the hues.
  const float above = least_of(one.middle.b - one.half_b, two.middle.b - two.half_b);
  const float share_most = terms::seventh_power_share(mean_c_most);
  const float half_r_t = (above >= 0 ? rotation_above : most_rotation) * share_most;
  const float apart_least = most_of(apart - d_both, 0.0F) * (1 - d_g);
  const float l_low = most_of(d_l - l_moves, 0.0F) / (s_l + d_s_l);
  const float l_high = (d_l + l_moves) / most_of(s_l - d_s_l, 1.0F);
  const float c_low = apart_least / (s_c + d_s_c);
  float low = root(l_low * l_low + (1 - half_r_t) * c_low * c_low);
  float high = root(l_high * l_high + (1 + half_r_t) * apart_most * apart_most);

  // 1. Near the middles.
  const float half_cos = std::sqrt(half_cos_square);
  const float smooth = least_of(least_of(0.9F - most_of(turn1, turn2), least_of(at.c1, at.c2) - margin),
                                half_cos - turn - 0.01F);
  const float c1_least = at.c1 - most_of(least_of(d1, 0.9F * at.c1), 0.0F);
  const float c2_least = at.c2 - most_of(least_of(d2, 0.9F * at.c2), 0.0F);
  const float widen = (1 + d_g) / most_of(1 - d_g, 0.5F);
  const float k1 = std::sqrt((at.c2 + d2) * widen / (c1_least + terms::tiny));
  const float k2 = std::sqrt((at.c1 + d1) * widen / (c2_least + terms::tiny));
  const float half_sin = least_of(root(1 - half_cos_square) + turn + margin, 1.0F);
  const float per_c = 1 / s_c, per_h = 1 / s_h;
  const auto moved = [&](float k) {
    return std::sqrt(most_of(per_c * per_c, k * k * per_h * per_h) + k * half_sin * per_c * per_h);
  };
  const float k_mean = 0.5F * (k1 + k2);
  const float by_g = d_g * apart_most * std::sqrt((1 + k_mean * k_mean) * per_c * per_c + per_h * per_h);
  const float plane_moves = d1 * moved(k1) + d2 * moved(k2) + by_g;
  const float light_moves = l_moves / s_l;
  const float stretched = 1 + 0.5F * r_t;
  const float by_moves = std::sqrt(light_moves * light_moves + stretched * plane_moves * plane_moves);

  const float d_t = least_of((std::abs(hue.t_slope) + 0.5F * curve_of_t * turn) * turn, span_of_t);
  const float d_s_h = 0.015F * (hue.t * d_mean_c + mean_c_most * d_t);
  const float s_c_least = most_of(s_c - d_s_c, 1.0F), s_h_least = most_of(s_h - d_s_h, 1.0F);
  const float by_s_l = (d_l + l_moves) * d_s_l / (s_l * most_of(s_l - d_s_l, 1.0F));
  const float d_c_most = least_of(apart_most, std::abs(at.d_c) + d_both + d_g * apart_most * (1 + k_mean));
  const float d_h_most = least_of(apart_most, std::abs(at.d_h) + k1 * d1 + k2 * d2 + d_g * apart_most);
  const float by_s_c = d_c_most * d_s_c / (s_c * s_c_least), by_s_h = d_h_most * d_s_h / (s_h * s_h_least);
  const float by_weights = std::sqrt(by_s_l * by_s_l + stretched * (by_s_c * by_s_c + by_s_h * by_s_h));

  const float d_rotation = least_of(slope_of_rotation(hue.turned + turn) * turn, most_rotation);
  const float d_r_t = 2 * share_most * d_rotation +
                      least_of(hue.rotation + d_rotation, most_rotation) * slope_of_r_c * d_mean_c;
  const float r_t_most = least_of(r_t + d_r_t, 2 * most_rotation);
  const float by_r_t =
      0.25F * d_r_t * apart_most / (least_of(s_c_least, s_h_least) * std::sqrt(1 - 0.5F * r_t_most));

  const float slack = by_moves + by_weights + by_r_t;
  low = most_of(low, smooth > 0 ? middle - slack : 0.0F);
  high = least_of(high, smooth > 0 ? middle + slack : std::numeric_limits<float>::max());
  r.low = most_of(low * (1 - margin) - margin, 0.0F);
  r.high = high * (1 + margin) + margin;

  // 3. The form at the middle; x and y are c and h there.
  const float k1_middle = std::sqrt(at.c2 / (at.c1 + terms::tiny));
  const float bends_c = (turn1 / std::sqrt(most_of(1 - turn1 * turn1, 0.01F)) + d_g) * per_c;
  const float bends_h = (k1 - k1_middle + k1 * turn) * per_h;
  const float by_bends = 0.5F * d1 * std::sqrt(bends_c * bends_c + bends_h * bends_h);
  const float error = by_weights + by_r_t + std::sqrt(stretched) * (by_bends + by_g);
  r.error = smooth > 0 ? error * (1 + margin) + margin : no_model;
  const float x = at.d_c * per_c, y = at.d_h * per_h, wide = 1 + at.g;
  const float radial = per_c / (at.c1 + terms::tiny);
  const float x_a = radial * wide * wide * one.middle.a, x_b = radial * one.middle.b;
  const float y_a = -k1_middle * per_h * wide * hue.s, y_b = k1_middle * per_h * hue.c;
  const float half_r = 0.5F * r_t, l = (two.middle.l - one.middle.l) / s_l;
  r.square = middle * middle;
  r.g_l = -l / s_l;
  r.g_a = -(x - half_r * y) * x_a - (y - half_r * x) * y_a;
  r.g_b = -(x - half_r * y) * x_b - (y - half_r * x) * y_b;
  r.h_ll = 1 / (s_l * s_l);
  r.h_aa = x_a * x_a + y_a * y_a - r_t * x_a * y_a;
  r.h_bb = x_b * x_b + y_b * y_b - r_t * x_b * y_b;
  r.h_ab = x_a * x_b + y_a * y_b - half_r * (x_a * y_b + y_a * x_b);
  return r;
}

}  // namespace

POWDERPLAN_WIDE_VECTORS
void difference_bounds(const ColourBox& cell, const ColourBox* boxes, std::size_t count, float* low,
                       float* high) {
  // Copied into columns eight at a time: only then the compiler sees what it may take side by side.
  const ColourBox one = cell;
  for (std::size_t first = 0; first < count; first += pairs_at_once) {
    std::array<float, pairs_at_once> l, a, b, chroma, half_l, half_a, half_b, lows, highs;
    const std::size_t used = std::min(pairs_at_once, count - first);
    for (std::size_t k = 0; k < pairs_at_once; ++k) {
      const ColourBox& box = boxes[first + std::min(k, used - 1)];
      l[k] = box.middle.l;
      a[k] = box.middle.a;
      b[k] = box.middle.b;
      chroma[k] = box.middle.chroma;
      half_l[k] = box.half_l;
      half_a[k] = box.half_a;
      half_b[k] = box.half_b;
    }
    for (std::size_t k = 0; k < pairs_at_once; ++k) {
      const DifferenceModel bounds =
          model_of(one, {{l[k], a[k], b[k], chroma[k]}, half_l[k], half_a[k], half_b[k]});
      lows[k] = bounds.low;
      highs[k] = bounds.high;
    }
    std::copy_n(lows.begin(), used, low + first);
    std::copy_n(highs.begin(), used, high + first);
  }
}

POWDERPLAN_WIDE_VECTORS
void difference_models(const ColourBox& cell, const QuickLab* colours, std::size_t count,
                       DifferenceModel* models) {
  const ColourBox one = cell;
  constexpr std::size_t n = pairs_at_once;
  for (std::size_t first = 0; first < count; first += n) {
    std::array<float, n> l, a, b, chroma, low, high, error, square, g_l, g_a, g_b, h_ll, h_aa, h_ab, h_bb;
    const std::size_t used = std::min(n, count - first);
    for (std::size_t k = 0; k < n; ++k) {
      const QuickLab& colour = colours[first + std::min(k, used - 1)];
      l[k] = colour.l;
      a[k] = colour.a;
      b[k] = colour.b;
      chroma[k] = colour.chroma;
    }
    for (std::size_t k = 0; k < n; ++k) {
      const DifferenceModel m = model_of(one, {{l[k], a[k], b[k], chroma[k]}, 0, 0, 0});
      low[k] = m.low;
      high[k] = m.high;
      error[k] = m.error;
      square[k] = m.square;
      g_l[k] = m.g_l;
      g_a[k] = m.g_a;
      g_b[k] = m.g_b;
      h_ll[k] = m.h_ll;
      h_aa[k] = m.h_aa;
      h_ab[k] = m.h_ab;
      h_bb[k] = m.h_bb;
    }
    for (std::size_t k = 0; k < used; ++k)
      models[first + k] = {low[k], high[k], error[k], square[k], g_l[k], g_a[k],
                           g_b[k], h_ll[k], h_aa[k],  h_ab[k],   h_bb[k]};
  }
}

bool farther_everywhere(const DifferenceModel& one, const DifferenceModel& other, const ColourBox& cell) {
  const float l = cell.half_l, a = cell.half_a, b = cell.half_b;
  const float linear = 2 * (l * std::abs(one.g_l - other.g_l) + a * std::abs(one.g_a - other.g_a) +
                            b * std::abs(one.g_b - other.g_b));
  const float bent = l * l * std::abs(one.h_ll - other.h_ll) + a * a * std::abs(one.h_aa - other.h_aa) +
                     2 * a * b * std::abs(one.h_ab - other.h_ab) + b * b * std::abs(one.h_bb - other.h_bb);
  // Farther by more than both errors: n > m + e where n^2 > m^2 + 2 m e + e^2, m the root of the other's
  // form.
  const float e = one.error + other.error, most = other.high + other.error;
  return one.square * (1 - 1e-5F) - other.square - linear - bent > 2 * most * e + e * e;
}

}  // namespace powderplan
