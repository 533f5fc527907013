#include "colour/quick_difference.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

#include "colour/difference_terms.h"
#include "wide_vectors.h"

// Every loop below goes over points without a branch, so that the compiler makes vectors of it.
namespace powderplan {
namespace {

inline float chosen(bool first, float one, float other) {
  return first ? one : other;
}

// The terms of CIE 142-2001.
[[gnu::always_inline]] inline float one_difference(float l1, float a1, float b1, float l2, float a2,
                                                   float b2) {
  const terms::Plane plane =
      terms::plane_of({l1, a1, b1, std::sqrt(a1 * a1 + b1 * b1)}, {l2, a2, b2, std::sqrt(a2 * a2 + b2 * b2)});
  const terms::MeanHue hue = terms::mean_hue(plane.mid_a, plane.mid_b);
  const float mean_c = 0.5F * (plane.c1 + plane.c2);
  const float l = (l2 - l1) / terms::lightness_weight(0.5F * (l1 + l2));
  const float c = plane.d_c / (1 + 0.045F * mean_c), h = plane.d_h / (1 + 0.015F * mean_c * hue.t);
  return std::sqrt(terms::form(l, c, h, 2 * hue.rotation * terms::seventh_power_share(mean_c)));
}

// The cube root of 0.008..1: a guess by a third of the exponent, then twice Halley's step.
inline float cube_root(float x) {
  float root = std::bit_cast<float>(std::bit_cast<std::int32_t>(x) / 3 + 709921077);
  for (int step = 0; step < 2; ++step) {
    const float cube = root * root * root;
    root *= (cube + 2 * x) / (2 * cube + x);
  }
  return root;
}

// CIE 15: with its straight foot.
inline float root_of(float x) {
  constexpr float foot = 216.0F / 24389, steep = 841.0F / 108;
  return chosen(x > foot, cube_root(terms::most_of(x, foot)), steep * x + 4.0F / 29);
}

struct Matrix {
  std::array<float, 9> of;
};

POWDERPLAN_WIDE_VECTORS
void lab_of_light(const float* __restrict r, const float* __restrict g, const float* __restrict b,
                  const Matrix& matrix, std::size_t count, float* __restrict to_l, float* __restrict to_a,
                  float* __restrict to_b) {
  const Matrix m = matrix;
  for (std::size_t i = 0; i < count; ++i) {
    const float x = root_of(m.of[0] * r[i] + m.of[1] * g[i] + m.of[2] * b[i]);
    const float y = root_of(m.of[3] * r[i] + m.of[4] * g[i] + m.of[5] * b[i]);
    const float z = root_of(m.of[6] * r[i] + m.of[7] * g[i] + m.of[8] * b[i]);
    to_l[i] = 116 * y - 16;
    to_a[i] = 500 * (x - y);
    to_b[i] = 200 * (y - z);
  }
}

// Linear RGB to XYZ over the white.
Matrix matrix_of_light() {
  const Xyz red = to_xyz(LinearRgb{1, 0, 0}), green = to_xyz(LinearRgb{0, 1, 0}),
            blue = to_xyz(LinearRgb{0, 0, 1});
  const auto f = [](double v) { return static_cast<float>(v); };
  return {{f(red.x / white_d65.x), f(green.x / white_d65.x), f(blue.x / white_d65.x), f(red.y), f(green.y),
           f(blue.y), f(red.z / white_d65.z), f(green.z / white_d65.z), f(blue.z / white_d65.z)}};
}

std::array<float, 256> decoded_codes() {
  std::array<float, 256> table{};
  for (std::size_t i = 0; i < table.size(); ++i)
    table[i] = static_cast<float>(srgb_decode(static_cast<double>(i) / 255.0));
  return table;
}

}  // namespace

POWDERPLAN_WIDE_VECTORS
void quick_ciede2000(const LabRows& reference, const LabRows& sample, float* __restrict difference,
                     std::size_t count) {
  const float *l1 = reference.l, *a1 = reference.a, *b1 = reference.b;
  const float *l2 = sample.l, *a2 = sample.a, *b2 = sample.b;
  for (std::size_t i = 0; i < count; ++i)
    difference[i] = one_difference(l1[i], a1[i], b1[i], l2[i], a2[i], b2[i]);
}

void quick_lab(const float* x, const float* y, const float* z, std::size_t count, float* l, float* a,
               float* b) {
  lab_of_light(x, y, z, {{1, 0, 0, 0, 1, 0, 0, 0, 1}}, count, l, a, b);
}

void quick_lab(const Rgb8* colours, std::size_t count, float* l, float* a, float* b) {
  static const std::array<float, 256> light = decoded_codes();
  static const Matrix matrix = matrix_of_light();
  // In parts, so that the light of one stays near.
  constexpr std::size_t part = 256;
  std::array<float, part> red{}, green{}, blue{};
  for (std::size_t from = 0; from < count; from += part) {
    const std::size_t n = std::min(part, count - from);
    for (std::size_t i = 0; i < n; ++i) {
      red[i] = light[colours[from + i].r];
      green[i] = light[colours[from + i].g];
      blue[i] = light[colours[from + i].b];
    }
    lab_of_light(red.data(), green.data(), blue.data(), matrix, n, l + from, a + from, b + from);
  }
}

}  // namespace powderplan
