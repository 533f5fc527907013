// Colours of whole pictures: Lab in single precision, and the same in half the room.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

// Lab in single precision: what is reckoned with, a few rows at a time.
struct LabPixel {
  float l = 0, a = 0, b = 0;
};
inline Lab to_lab(const LabPixel& p) {
  return {p.l, p.a, p.b};
}
inline LabPixel to_pixel(const Lab& c) {
  return {static_cast<float>(c.l), static_cast<float>(c.a), static_cast<float>(c.b)};
}

// What pictures hold for each point, in six bytes. L* from -128 to 128 in steps of 1/256, a* and b* from -256
// to 256 in steps of 1/128, which no real colour leaves; each is the nearest step, so that a colour comes
// back within 0.006 of what it was. What lies beyond is held at the end of the range.
class PackedLab {
 public:
  PackedLab() = default;
  // Both ways without a cast: pictures are filled with, and read as, LabPixel.
  PackedLab(const LabPixel& colour) : PackedLab(colour.l, colour.a, colour.b) {}
  PackedLab(float l, float a, float b)
      : l_(packed(l, l_steps)), a_(packed(a, ab_steps)), b_(packed(b, ab_steps)) {}
  operator LabPixel() const { return {l(), a(), b()}; }
  [[nodiscard]] float l() const { return static_cast<float>(l_) / l_steps; }
  [[nodiscard]] float a() const { return static_cast<float>(a_) / ab_steps; }
  [[nodiscard]] float b() const { return static_cast<float>(b_) / ab_steps; }
  friend bool operator==(const PackedLab&, const PackedLab&) = default;

 private:
  static constexpr float l_steps = 256, ab_steps = 128;  // to a unit
  static std::int16_t packed(float value, float steps) {
    return static_cast<std::int16_t>(std::lrint(std::clamp(value * steps, -32767.0F, 32767.0F)));
  }
  std::int16_t l_ = 0, a_ = 0, b_ = 0;
};

// Rows [first, last) in single precision.
inline Image<LabPixel> unpacked_rows(const Image<PackedLab>& picture, int first, int last) {
  Image<LabPixel> rows(picture.width(), last - first);
  std::copy_n(picture.row(first), rows.size(), rows.data());
  return rows;
}

}  // namespace powderplan
