// Quantities with a unit: a length, a load and a temperature are different types, so a signature
// cannot take one for another. Construction from a bare number is always spelled out.
#pragma once

#include <compare>

namespace powderplan {

template <class Tag>
class Quantity {
 public:
  constexpr Quantity() = default;
  constexpr explicit Quantity(double value) : value_(value) {}
  [[nodiscard]] constexpr double value() const { return value_; }

  constexpr auto operator<=>(const Quantity&) const = default;
  constexpr Quantity operator+(Quantity other) const { return Quantity(value_ + other.value_); }
  constexpr Quantity operator-(Quantity other) const { return Quantity(value_ - other.value_); }
  constexpr Quantity operator*(double factor) const { return Quantity(value_ * factor); }
  constexpr Quantity operator/(double divisor) const { return Quantity(value_ / divisor); }
  constexpr double operator/(Quantity other) const { return value_ / other.value_; }
  constexpr Quantity& operator+=(Quantity other) {
    value_ += other.value_;
    return *this;
  }

 private:
  double value_ = 0.0;
};

using Millimetres = Quantity<struct MillimetresTag>;
using Grams = Quantity<struct GramsTag>;
// Areal weight, g/cm2: what one spot of a layer carries.
using Load = Quantity<struct LoadTag>;
// Temperature on the Celsius scale; the difference of two is in kelvin.
using Celsius = Quantity<struct CelsiusTag>;
// g/cm3
using Density = Quantity<struct DensityTag>;

// EN 572-1: soda-lime glass, 2 500 kg/m3.
inline constexpr Density glass_density{2.5};

// Areal weight of a sheet: 2.5 kg/m2 for each mm of glass (EN 572-1).
constexpr Load load_of_sheet(Millimetres thickness, Density density = glass_density) {
  return Load(thickness.value() / 10.0 * density.value());
}

// The weight of 3 mm sheet, which the trade calls a full load of powder: 0.75 g/cm2.
inline constexpr Load full_load = load_of_sheet(Millimetres(3.0));

}  // namespace powderplan
