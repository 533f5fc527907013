// From spectra to colours: the CIE 1931 2-degree observer under a chosen light.
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "colour/spectrum.h"
#include "colour/tristimulus.h"

namespace powderplan {

// Range of the daylight formula of CIE 15, in kelvin.
inline constexpr double coolest_daylight_k = 4000;
inline constexpr double hottest_daylight_k = 25000;

// Relative power of CIE daylight of a correlated colour temperature in the range above; 100 near 560 nm.
Spectrum daylight(double kelvin);
Spectrum illuminant_d65();
Spectrum illuminant_d50();
// Incandescent light, 2856 K.
Spectrum illuminant_a();

// "D65", "D50", "A", or daylight by temperature as "6000K". Empty when the name is none of these.
std::optional<Spectrum> illuminant_named(std::string_view name);

// Sees a spectrum of reflectance or transmittance under one light. The sum over bands is normalised
// so that the perfect diffuser has Y = 1, and adapted (Bradford) from the white of that light to D65:
// 1 in every band always gives the D65 white.
class Observer {
 public:
  explicit Observer(const Spectrum& light);
  Xyz operator()(const Spectrum& seen) const;
  // Contribution of each band to XYZ, light and adaptation included.
  [[nodiscard]] const std::array<Xyz, band_count>& weights() const { return weights_; }

 private:
  std::array<Xyz, band_count> weights_;
};

}  // namespace powderplan
