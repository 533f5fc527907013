// Readings of a fired tile of a known glass (known_glass.h), with noise, and how well a fit predicts loads
// that it has not seen.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>
#include <vector>

#include "colour/difference.h"
#include "colour/observer.h"
#include "measure/known_glass.h"
#include "measure/readings.h"
#include "optics/finish.h"

namespace powderplan::known_tile {

inline Spectrum spectrum(const known::Bands& bands) {
  return Spectrum(bands);
}

// Opaque grounds near to neutral, inside the glass: a warm white and a black.
inline known::Bands light_ground() {
  known::Bands bands;
  for (std::size_t b = 0; b < bands.size(); ++b)
    bands[b] = 0.93 - 0.04 * std::exp(-static_cast<double>(b) / 4);
  return bands;
}
inline known::Bands dark_ground() {
  known::Bands bands;
  bands.fill(0.02);
  return bands;
}

class KnownTile {
 public:
  // A load weighs on the eye as load * (load / heaviest)^(power - 1): by Kubelka-Munk where `power` is 1.
  KnownTile(const known::Glass& glass, bool opalescent, double power = 1)
      : glass_(glass), power_(power), see_(illuminant_d65()) {
    // To where little of the ground is seen.
    heaviest_ = opalescent ? std::min(0.75, 3.0 / (glass.s[15] + glass.k[15]) + 0.1) : 0.75;
  }

  [[nodiscard]] double heaviest() const { return heaviest_; }

  [[nodiscard]] Spectrum seen(double load, bool dark) const {
    known::Glass glass = glass_;
    if (load > 0) {
      const double worth = std::pow(load / heaviest_, power_ - 1);
      for (std::size_t b = 0; b < glass.k.size(); ++b) {
        glass.k[b] *= worth;
        glass.s[b] *= worth;
      }
    }
    return spectrum(known::seen(glass, load, dark ? dark_ground() : light_ground()));
  }

  // Loads in even ratios up to the heaviest, each over both grounds. `noise` is the standard deviation of L*;
  // that of a* and b* is 0.7 of it. The bare grounds are read with the same noise.
  [[nodiscard]] Readings read(double noise, unsigned seed, int loads = 6) const {
    std::mt19937 random(seed);
    const auto read_off = [&](double load, bool dark) {
      Lab lab = to_lab(see_(seen(load, dark)));
      lab.l += noise * normal(random);
      lab.a += 0.7 * noise * normal(random);
      lab.b += 0.7 * noise * normal(random);
      return to_xyz(lab);
    };
    Readings readings;
    readings.grain = Millimetres(glass_.grain_mm);
    readings.flow = flow_for(Finish::full, readings.grain);
    readings.grounds = {{"light", opaque_ground(read_off(0, false))},
                        {"dark", opaque_ground(read_off(0, true))}};
    for (int i = 0; i < loads; ++i) {
      const double load = heaviest_ * std::pow(lightest, (loads - 1.0 - i) / std::max(1, loads - 1));
      for (const bool dark : {false, true})
        readings.steps.push_back({Load(load), dark ? 1U : 0U, read_off(load, dark)});
    }
    return readings;
  }

  // Of loads between the lightest and the heaviest, over the true grounds; rising.
  [[nodiscard]] std::vector<double> unseen_errors(const PowderOptics& found) const {
    Readings truth;
    truth.grain = found.grain;
    truth.flow = flow_for(Finish::full, found.grain);
    truth.grounds = {{"light", opaque_ground(seen(0, false))}, {"dark", opaque_ground(seen(0, true))}};
    std::vector<double> errors;
    constexpr int loads = 20;
    for (int i = 0; i < loads; ++i) {
      const double load = heaviest_ * std::pow(lightest, (i + 0.37) / loads);
      for (const bool dark : {false, true})
        errors.push_back(ciede2000(lab_of(seen(load, dark)),
                                   lab_of(look_of(found, truth, {Load(load), dark ? 1U : 0U, Xyz{}}))));
    }
    std::sort(errors.begin(), errors.end());
    return errors;
  }

  // Share of the heaviest load that the lightest is.
  static constexpr double lightest = 0.03;

 private:
  // Box and Muller 1958: the library's own normal distribution differs from one library to the next.
  static double normal(std::mt19937& random) {
    const double u = (static_cast<double>(random()) + 1) / 4294967297.0,
                 v = static_cast<double>(random()) / 4294967296.0;
    return std::sqrt(-2 * std::log(u)) * std::cos(2 * 3.14159265358979323846 * v);
  }

  known::Glass glass_;
  double power_, heaviest_ = 0;
  Observer see_;
};

inline double mean(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values)
    sum += value;
  return sum / static_cast<double>(values.size());
}
inline double p95(const std::vector<double>& rising) {
  return rising[rising.size() * 95 / 100];
}

}  // namespace powderplan::known_tile
