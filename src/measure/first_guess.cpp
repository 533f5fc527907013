#include "measure/first_guess.h"

#include <algorithm>
#include <cmath>

#include "optics/kubelka_munk.h"

namespace powderplan {
namespace {

// Where nothing is known: a middling glass.
constexpr double usual_k = 2.0, usual_s = 0.5;
// Grounds nearer to each other than this do not tell a layer's R from its T.
constexpr double apart = 0.1;

double bounded(double coefficient) {
  return std::clamp(coefficient, least_coefficient, most_coefficient);
}

// The mean of many guesses, in the logarithm.
class MeanGuess {
 public:
  void add(std::size_t band, double k, double s, double trust) {
    sum_k_[band] += trust * std::log(bounded(k));
    sum_s_[band] += trust * std::log(bounded(s));
    trust_[band] += trust;
  }
  [[nodiscard]] CoefficientSpectra mean() const {
    CoefficientSpectra found;
    for (std::size_t b = 0; b < band_count; ++b) {
      found.k[b] = trust_[b] > 0 ? std::exp(sum_k_[b] / trust_[b]) : usual_k;
      found.s[b] = trust_[b] > 0 ? std::exp(sum_s_[b] / trust_[b]) : usual_s;
    }
    return found;
  }

 private:
  Spectrum sum_k_, sum_s_, trust_;
};

Spectrum inside(const StepReading& step) {
  if (const Spectrum* const spectrum = std::get_if<Spectrum>(&step.seen))
    return opaque_ground(*spectrum).backing;
  return opaque_ground(std::get<Xyz>(step.seen)).backing;
}

void add_two_grounds(const Readings& readings, MeanGuess& guess) {
  const std::vector<StepReading>& steps = readings.steps;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    for (std::size_t j = i + 1; j < steps.size(); ++j) {
      const Ground& one = readings.grounds[steps[i].ground].ground;
      const Ground& other = readings.grounds[steps[j].ground].ground;
      if (steps[i].load != steps[j].load || steps[i].load <= Load(0) || one.view == View::window ||
          other.view == View::window)
        continue;
      const bool first_lighter = one.backing[band_count / 2] > other.backing[band_count / 2];
      const Spectrum over_light = inside(steps[first_lighter ? i : j]);
      const Spectrum over_dark = inside(steps[first_lighter ? j : i]);
      const Spectrum& light = (first_lighter ? one : other).backing;
      const Spectrum& dark = (first_lighter ? other : one).backing;
      for (std::size_t b = 0; b < band_count; ++b) {
        if (light[b] - dark[b] < apart)
          continue;
        const LayerOptics layer = layer_from_two_grounds(over_light[b], over_dark[b], light[b], dark[b]);
        const Coefficients c = kubelka_munk_inverse(layer.reflect, layer.transmit, steps[i].load.value());
        guess.add(b, c.k, c.s, 0.01 + layer.transmit * (1 - layer.transmit));
      }
    }
  }
}

// `by_scattering`: the loss is that of T = 1 / (1 + s w), else that of T = exp(-k w). Whether anything was
// added.
bool add_clear_sheet(const Readings& readings, bool by_scattering, MeanGuess& guess) {
  constexpr double little_trust = 0.01, hardly_scatters = 0.02;
  bool added = false;
  for (const StepReading& step : readings.steps) {
    const Ground& ground = readings.grounds[step.ground].ground;
    const Spectrum* const through = std::get_if<Spectrum>(&step.seen);
    if (ground.view != View::window || through == nullptr || step.load <= Load(0))
      continue;
    const Spectrum bare = seen(ground, {});
    for (std::size_t b = 0; b < band_count; ++b) {
      const double share = std::clamp((*through)[b] / bare[b], 1e-4, 1.0);
      const double k = -std::log(share) / step.load.value(), s = (1 / share - 1) / step.load.value();
      guess.add(b, by_scattering ? k / 10 : k, by_scattering ? s : hardly_scatters, little_trust);
    }
    added = true;
  }
  return added;
}

}  // namespace

std::vector<CoefficientSpectra> first_guesses(const Readings& readings) {
  MeanGuess absorbing;
  add_two_grounds(readings, absorbing);
  MeanGuess scattering = absorbing;
  std::vector<CoefficientSpectra> guesses;
  const bool through = add_clear_sheet(readings, false, absorbing);
  guesses.push_back(absorbing.mean());
  if (through) {
    add_clear_sheet(readings, true, scattering);
    guesses.push_back(scattering.mean());
  }
  return guesses;
}

}  // namespace powderplan
