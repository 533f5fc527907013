#include "colour/upsample.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

namespace powderplan {
namespace {

using Parabola = Eigen::Vector3d;

// Wavelength scaled to -1..1, so that the three coefficients are of one size.
double scaled(std::size_t band) {
  return 2.0 * static_cast<double>(band) / (band_count - 1) - 1.0;
}

Spectrum curve(const Parabola& c) {
  Spectrum s;
  for (std::size_t i = 0; i < band_count; ++i) {
    const double t = scaled(i), x = (c[0] * t + c[1]) * t + c[2];
    s[i] = 0.5 + x / (2 * std::sqrt(1 + x * x));
  }
  return s;
}

Eigen::Vector3d lab_vector(const Lab& lab) {
  return {lab.l, lab.a, lab.b};
}

}  // namespace

Spectrum smooth_spectrum(const LinearRgb& colour) {
  const Observer see(illuminant_d65());
  const auto error = [&](const Parabola& c, const Eigen::Vector3d& wanted) -> Eigen::Vector3d {
    return lab_vector(to_lab(see(curve(c)))) - wanted;
  };
  // Walk from grey to the colour, so that each step starts near its answer.
  constexpr int stages = 8;
  constexpr int steps = 40;
  const double grey = std::clamp(to_xyz(colour).y, 0.0005, 0.9995);
  const double odds = 2 * grey - 1;
  Parabola c(0, 0, odds / std::sqrt(1 - odds * odds));
  for (int stage = 1; stage <= stages; ++stage) {
    const double share = static_cast<double>(stage) / stages;
    const auto mix = [&](double v) { return grey + share * (v - grey); };
    const Eigen::Vector3d wanted =
        lab_vector(to_lab(to_xyz(LinearRgb{mix(colour.r), mix(colour.g), mix(colour.b)})));
    // Levenberg-Marquardt on the three coefficients.
    double damping = 1e-4;
    Eigen::Vector3d e = error(c, wanted);
    for (int step = 0; step < steps && e.norm() > 1e-9; ++step) {
      Eigen::Matrix3d slope;
      for (int j = 0; j < 3; ++j) {
        const double h = 1e-6 * std::max(1.0, std::abs(c[j]));
        Parabola moved = c;
        moved[j] += h;
        slope.col(j) = (error(moved, wanted) - e) / h;
      }
      const Eigen::Matrix3d normal = slope.transpose() * slope;
      Eigen::Matrix3d damped = normal;
      damped.diagonal() += damping * (normal.diagonal().array() + 1e-9).matrix();
      const Parabola next = c - damped.ldlt().solve(slope.transpose() * e);
      const Eigen::Vector3d e_next = error(next, wanted);
      if (next.allFinite() && e_next.norm() < e.norm()) {
        c = next;
        e = e_next;
        damping = std::max(damping / 10, 1e-12);
      } else {
        damping *= 10;
        if (damping > 1e8)
          break;
      }
    }
  }
  return curve(c);
}

}  // namespace powderplan
