// Colours as numbers: XYZ, Lab, OKLab and sRGB, each a type of its own; nothing converts by itself.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace powderplan {

// CIE 1931 2-degree tristimulus values, Y = 1 for the perfect diffuser, adapted to D65.
struct Xyz {
  double x = 0, y = 0, z = 0;
  friend constexpr bool operator==(const Xyz&, const Xyz&) = default;
};
constexpr Xyz operator+(Xyz a, Xyz b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
constexpr Xyz operator*(Xyz a, double f) {
  return {a.x * f, a.y * f, a.z * f};
}

// CIE 1976 L*a*b* (CIE 15), L in 0..100, relative to the D65 white below.
struct Lab {
  double l = 0, a = 0, b = 0;
  friend constexpr bool operator==(const Lab&, const Lab&) = default;
};

// OKLab (Ottosson 2020), L in 0..1: for clustering, where evenness counts more than a standard.
struct Oklab {
  double l = 0, a = 0, b = 0;
};

// sRGB primaries (IEC 61966-2-1), linear light; 0..1 inside the gamut, unclipped outside it.
struct LinearRgb {
  double r = 0, g = 0, b = 0;
};

// sRGB as stored in a file, 8 bits a channel.
struct Rgb8 {
  std::uint8_t r = 0, g = 0, b = 0;
  friend constexpr bool operator==(const Rgb8&, const Rgb8&) = default;
};

// White of sRGB, from its chromaticity x = 0.3127, y = 0.3290 (IEC 61966-2-1).
inline constexpr Xyz white_d65{0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290};

// IEC 61966-2-1 transfer function; negative values pass through the linear part.
double srgb_encode(double linear);
double srgb_decode(double encoded);

LinearRgb to_linear_rgb(const Xyz& colour);
Xyz to_xyz(const LinearRgb& colour);
LinearRgb to_linear_rgb(const Rgb8& colour);
// Rounds to the nearest code; values outside 0..1 are clipped.
Rgb8 to_rgb8(const LinearRgb& colour);

Lab to_lab(const Xyz& colour, const Xyz& white = white_d65);
Xyz to_xyz(const Lab& colour, const Xyz& white = white_d65);
Lab to_lab(const Rgb8& colour);

Oklab to_oklab(const Xyz& colour);
Xyz to_xyz(const Oklab& colour);

// "#rrggbb" in either case. False and untouched when the text is anything else.
bool parse_hex(std::string_view text, Rgb8& colour);
std::string to_hex(const Rgb8& colour);

// Bradford adaptation of a colour seen under `from` to `to` (Lam 1985; the matrix of ICC.1 annex E).
Xyz adapt(const Xyz& colour, const Xyz& from, const Xyz& to);

}  // namespace powderplan
