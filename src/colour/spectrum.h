// Spectra sampled in 31 bands, 400 to 700 nm by 10 nm.
#pragma once

#include <array>
#include <cstddef>

namespace powderplan {

inline constexpr std::size_t band_count = 31;
inline constexpr int first_band_nm = 400;
inline constexpr int band_step_nm = 10;

constexpr int band_nm(std::size_t band) {
  return first_band_nm + band_step_nm * static_cast<int>(band);
}

// One number a band. What it means (reflectance, power, cm2/g) is said where it is used.
class Spectrum {
 public:
  constexpr Spectrum() : values_{} {}
  constexpr explicit Spectrum(const std::array<double, band_count>& values) : values_(values) {}
  static constexpr Spectrum constant(double value) {
    Spectrum result;
    for (double& v : result.values_)
      v = value;
    return result;
  }

  constexpr double operator[](std::size_t band) const { return values_[band]; }
  constexpr double& operator[](std::size_t band) { return values_[band]; }
  [[nodiscard]] constexpr const std::array<double, band_count>& values() const { return values_; }
  constexpr auto begin() const { return values_.begin(); }
  constexpr auto end() const { return values_.end(); }

  constexpr Spectrum& operator+=(const Spectrum& other) {
    for (std::size_t i = 0; i < band_count; ++i)
      values_[i] += other.values_[i];
    return *this;
  }
  constexpr Spectrum& operator*=(double factor) {
    for (double& v : values_)
      v *= factor;
    return *this;
  }
  friend constexpr Spectrum operator+(Spectrum a, const Spectrum& b) { return a += b; }
  friend constexpr Spectrum operator*(Spectrum a, double factor) { return a *= factor; }
  friend constexpr bool operator==(const Spectrum&, const Spectrum&) = default;

 private:
  std::array<double, band_count> values_;
};

// f(a[i], ...) for every band.
template <class F, class... Spectra>
constexpr Spectrum per_band(F&& f, const Spectra&... spectra) {
  Spectrum result;
  for (std::size_t i = 0; i < band_count; ++i)
    result[i] = f(spectra[i]...);
  return result;
}

}  // namespace powderplan
