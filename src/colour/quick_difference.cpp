#include "colour/quick_difference.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

#include "wide_vectors.h"

// Every loop below goes over points without a branch, so that the compiler makes vectors of it.
namespace powderplan {
namespace {

inline float larger(float a, float b) {
  return a > b ? a : b;
}
inline float smaller(float a, float b) {
  return a < b ? a : b;
}
inline float chosen(bool first, float one, float other) {
  return first ? one : other;
}

// sqrt(c^7 / (c^7 + 25^7)).
inline float seventh_power_share(float chroma) {
  const float x = chroma / 25, x2 = x * x, x7 = x2 * x2 * x2 * x;
  return std::sqrt(x7 / (x7 + 1));
}

// exp(-x) for x >= 0: 2^n by the exponent's bits, the rest by Taylor's series.
inline float exp_of_minus(float x) {
  const float turns = larger(-120.0F, -1.44269504F * x);
  const auto whole = static_cast<std::int32_t>(turns - 0.5F);
  const float t = (turns - static_cast<float>(whole)) * 0.693147181F;
  const float series =
      1 + t * (1 + t * (1.0F / 2 + t * (1.0F / 6 + t * (1.0F / 24 + t * (1.0F / 120 + t / 720)))));
  return series * std::bit_cast<float>((whole + 127) << 23);
}

// The angle from the x axis, -pi to pi; a minimax polynomial of odd powers on 0..1 (Hastings 1955, sheet 13),
// from memory: to 1e-5.
inline float angle_of(float x, float y) {
  const float ax = std::abs(x), ay = std::abs(y);
  const float ratio = smaller(ax, ay) / larger(larger(ax, ay), 1e-30F), r2 = ratio * ratio;
  float angle =
      ratio *
      (0.99997726F + r2 * (-0.33262347F +
                           r2 * (0.19354346F + r2 * (-0.11643287F + r2 * (0.05265332F - r2 * 0.01172120F)))));
  angle = chosen(ay > ax, 1.57079633F - angle, angle);
  angle = chosen(x < 0, 3.14159265F - angle, angle);
  return chosen(y < 0, -angle, angle);
}

// sin(x) for |x| up to pi / 3.
inline float sine(float x) {
  const float x2 = x * x;
  return x * (1 - x2 * (1.0F / 6 - x2 * (1.0F / 120 - x2 * (1.0F / 5040 - x2 / 362880))));
}

constexpr float cos30 = 0.866025404F, sin30 = 0.5F;
constexpr float cos6 = 0.994521895F, sin6 = 0.104528463F;
constexpr float cos63 = 0.453990500F, sin63 = 0.891006524F;
constexpr float cos275 = 0.0871557427F, sin275 = -0.996194698F;

// The terms of CIE 142-2001. Hues are directions, (a, b) over chroma, instead of angles: their mean on the
// shorter way round is the direction of their sum.
[[gnu::always_inline]] inline float one_difference(float l1, float a1, float b1, float l2, float a2,
                                                   float b2) {
  const float chroma = (std::sqrt(a1 * a1 + b1 * b1) + std::sqrt(a2 * a2 + b2 * b2)) / 2;
  const float stretch = 1.5F - 0.5F * seventh_power_share(chroma);
  a1 *= stretch;
  a2 *= stretch;
  const float c1 = std::sqrt(a1 * a1 + b1 * b1), c2 = std::sqrt(a2 * a2 + b2 * b2);
  const bool grey = c1 * c2 == 0;
  const float over1 = 1 / larger(c1, 1e-30F), over2 = 1 / larger(c2, 1e-30F);
  const float x1 = a1 * over1, y1 = b1 * over1, x2 = a2 * over2, y2 = b2 * over2;
  const float across = a1 * (b2 - b1) - b1 * (a2 - a1);  // c1 c2 sin(h2 - h1), exact for hues that are near
  float mx = x1 + x2, my = y1 + y2;
  const float twice_cos = std::sqrt(mx * mx + my * my);  // of half the angle between them
  const float over = 1 / larger(twice_cos, 1e-6F);
  mx = chosen(c1 + c2 == 0, 1, mx * over);
  my = my * over;
  const float half_sine = larger(-1.0F, smaller(1.0F, across * over1 * over2 * over));
  const float d_h = chosen(grey, 0, 2 * std::sqrt(c1 * c2) * half_sine);

  const float cos2 = 2 * mx * mx - 1, sin2 = 2 * mx * my;
  const float cos3 = cos2 * mx - sin2 * my, sin3 = sin2 * mx + cos2 * my;
  const float cos4 = 2 * cos2 * cos2 - 1, sin4 = 2 * sin2 * cos2;
  const float t = 1 - 0.17F * (mx * cos30 + my * sin30) + 0.24F * cos2 + 0.32F * (cos3 * cos6 - sin3 * sin6) -
                  0.20F * (cos4 * cos63 + sin4 * sin63);
  const float from275 = angle_of(mx * cos275 + my * sin275, my * cos275 - mx * sin275) * (57.2957795F / 25);
  const float twice_theta = 1.04719755F * exp_of_minus(from275 * from275);
  const float c_mean = (c1 + c2) / 2, l_mean = (l1 + l2) / 2 - 50, l50 = l_mean * l_mean;
  const float s_l = 1 + 0.015F * l50 / std::sqrt(20 + l50);
  const float s_c = 1 + 0.045F * c_mean, s_h = 1 + 0.015F * c_mean * t;
  const float r_t = -2 * sine(twice_theta) * seventh_power_share(c_mean);
  const float l = (l2 - l1) / s_l, c = (c2 - c1) / s_c, h = d_h / s_h;
  return std::sqrt(larger(0.0F, l * l + c * c + h * h + r_t * c * h));
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
  return chosen(x > foot, cube_root(larger(x, foot)), steep * x + 4.0F / 29);
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
