#include "colour/tristimulus.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace powderplan {
namespace {

using Matrix = std::array<std::array<double, 3>, 3>;
using Triple = std::array<double, 3>;

constexpr Triple multiply(const Matrix& m, const Triple& v) {
  Triple out{};
  for (std::size_t i = 0; i < 3; ++i)
    out[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
  return out;
}

constexpr Matrix inverse(const Matrix& m) {
  const auto minor = [&](std::size_t r, std::size_t c) {
    const std::size_t r1 = (r + 1) % 3, r2 = (r + 2) % 3, c1 = (c + 1) % 3, c2 = (c + 2) % 3;
    return m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1];
  };
  const double det = m[0][0] * minor(0, 0) + m[0][1] * minor(0, 1) + m[0][2] * minor(0, 2);
  Matrix out{};
  for (std::size_t r = 0; r < 3; ++r) {
    for (std::size_t c = 0; c < 3; ++c)
      out[c][r] = minor(r, c) / det;
  }
  return out;
}

// RGB to XYZ from the chromaticities of the primaries, scaled so that RGB = 1 gives the white.
constexpr Matrix rgb_to_xyz_matrix() {
  constexpr double xr = 0.64, yr = 0.33, xg = 0.30, yg = 0.60, xb = 0.15, yb = 0.06;
  const Matrix primaries{{{xr / yr, xg / yg, xb / yb},
                          {1.0, 1.0, 1.0},
                          {(1 - xr - yr) / yr, (1 - xg - yg) / yg, (1 - xb - yb) / yb}}};
  const Triple scale = multiply(inverse(primaries), {white_d65.x, white_d65.y, white_d65.z});
  Matrix out = primaries;
  for (auto& row : out) {
    for (std::size_t c = 0; c < 3; ++c)
      row[c] *= scale[c];
  }
  return out;
}

constexpr Matrix rgb_to_xyz = rgb_to_xyz_matrix();
constexpr Matrix xyz_to_rgb = inverse(rgb_to_xyz);

// Ottosson 2020, "A perceptual color space for image processing": XYZ (D65) to cone-like responses,
// and their cube roots to OKLab.
constexpr Matrix xyz_to_cones{{{0.8189330101, 0.3618667424, -0.1288597137},
                               {0.0329845436, 0.9293118715, 0.0361456387},
                               {0.0482003018, 0.2643662691, 0.6338517070}}};
constexpr Matrix roots_to_oklab{{{0.2104542553, 0.7936177850, -0.0040720468},
                                 {1.9779984951, -2.4285922050, 0.4505937099},
                                 {0.0259040371, 0.7827717662, -0.8086757660}}};
constexpr Matrix cones_to_xyz = inverse(xyz_to_cones);
constexpr Matrix oklab_to_roots = inverse(roots_to_oklab);

constexpr Matrix bradford{{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}};
constexpr Matrix bradford_inverse = inverse(bradford);

// CIE 15: cube root above (6/29)^3, a straight line below.
constexpr double lab_knee = 6.0 / 29.0;
double lab_f(double t) {
  return t > lab_knee * lab_knee * lab_knee ? std::cbrt(t) : t / (3 * lab_knee * lab_knee) + 4.0 / 29.0;
}
double lab_f_inverse(double f) {
  return f > lab_knee ? f * f * f : 3 * lab_knee * lab_knee * (f - 4.0 / 29.0);
}

}  // namespace

double srgb_encode(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}
double srgb_decode(double encoded) {
  return encoded <= 0.04045 ? encoded / 12.92 : std::pow((encoded + 0.055) / 1.055, 2.4);
}

LinearRgb to_linear_rgb(const Xyz& c) {
  const Triple v = multiply(xyz_to_rgb, {c.x, c.y, c.z});
  return {v[0], v[1], v[2]};
}
Xyz to_xyz(const LinearRgb& c) {
  const Triple v = multiply(rgb_to_xyz, {c.r, c.g, c.b});
  return {v[0], v[1], v[2]};
}
LinearRgb to_linear_rgb(const Rgb8& c) {
  return {srgb_decode(c.r / 255.0), srgb_decode(c.g / 255.0), srgb_decode(c.b / 255.0)};
}
Rgb8 to_rgb8(const LinearRgb& c) {
  const auto code = [](double linear) {
    return static_cast<std::uint8_t>(std::lround(255.0 * srgb_encode(std::clamp(linear, 0.0, 1.0))));
  };
  return {code(c.r), code(c.g), code(c.b)};
}

Lab to_lab(const Xyz& c, const Xyz& white) {
  const double fx = lab_f(c.x / white.x), fy = lab_f(c.y / white.y), fz = lab_f(c.z / white.z);
  return {116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)};
}
Xyz to_xyz(const Lab& c, const Xyz& white) {
  const double fy = (c.l + 16) / 116;
  return {white.x * lab_f_inverse(fy + c.a / 500), white.y * lab_f_inverse(fy),
          white.z * lab_f_inverse(fy - c.b / 200)};
}
Lab to_lab(const Rgb8& c) {
  return to_lab(to_xyz(to_linear_rgb(c)));
}

Oklab to_oklab(const Xyz& c) {
  Triple cones = multiply(xyz_to_cones, {c.x, c.y, c.z});
  for (double& v : cones)
    v = std::cbrt(v);
  const Triple v = multiply(roots_to_oklab, cones);
  return {v[0], v[1], v[2]};
}
Xyz to_xyz(const Oklab& c) {
  Triple roots = multiply(oklab_to_roots, {c.l, c.a, c.b});
  for (double& v : roots)
    v = v * v * v;
  const Triple v = multiply(cones_to_xyz, roots);
  return {v[0], v[1], v[2]};
}

bool parse_hex(std::string_view text, Rgb8& colour) {
  if (text.size() != 7 || text[0] != '#')
    return false;
  std::array<int, 6> digit{};
  for (std::size_t i = 0; i < 6; ++i) {
    const char c = text[i + 1];
    if (c >= '0' && c <= '9')
      digit[i] = c - '0';
    else if (c >= 'a' && c <= 'f')
      digit[i] = c - 'a' + 10;
    else if (c >= 'A' && c <= 'F')
      digit[i] = c - 'A' + 10;
    else
      return false;
  }
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(digit[i] * 16 + digit[i + 1]); };
  colour = {byte(0), byte(2), byte(4)};
  return true;
}

std::string to_hex(const Rgb8& c) {
  std::array<char, 8> text{};
  std::snprintf(text.data(), text.size(), "#%02x%02x%02x", c.r, c.g, c.b);
  return text.data();
}

Xyz adapt(const Xyz& c, const Xyz& from, const Xyz& to) {
  const Triple seen = multiply(bradford, {c.x, c.y, c.z});
  const Triple source = multiply(bradford, {from.x, from.y, from.z});
  const Triple target = multiply(bradford, {to.x, to.y, to.z});
  const Triple v = multiply(
      bradford_inverse,
      {seen[0] * target[0] / source[0], seen[1] * target[1] / source[1], seen[2] * target[2] / source[2]});
  return {v[0], v[1], v[2]};
}

}  // namespace powderplan
