#include "firing/viscosity.h"

#include <cmath>
#include <limits>
#include <numbers>

#include "problem.h"

namespace powderplan {
namespace {

constexpr double vft_a = -2.6;
constexpr double log_softening = 6.6;
constexpr double log_annealing = 12.0;

}  // namespace

ViscosityCurve::ViscosityCurve(const GlassConstants& glass) {
  if (const auto fault = fault_of_points(glass))
    throw Problem(ProblemKind::input, "glass", fault->wrong, fault->remedy);
  const double soft = log_softening - vft_a, anneal = log_annealing - vft_a;
  t0_ = (anneal * glass.annealing.value() - soft * glass.softening.value()) / (anneal - soft);
  b_ = soft * (glass.softening.value() - t0_);
}

double ViscosityCurve::log10_pa_s(Celsius t) const {
  return t.value() > t0_ ? vft_a + b_ / (t.value() - t0_) : std::numeric_limits<double>::infinity();
}

Celsius ViscosityCurve::temperature_at(double log_eta) const {
  return Celsius(t0_ + b_ / (log_eta - vft_a));
}

double ViscosityCurve::fluidity(Celsius t) const {
  return t.value() > t0_ ? std::exp(-std::numbers::ln10 * (vft_a + b_ / (t.value() - t0_))) : 0;
}

}  // namespace powderplan
