#include "firing/schedule.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

constexpr double vft_a = -2.6;
constexpr double log_softening = 6.6;
constexpr double log_annealing = 12.0;

// EN 572-1 basic soda-lime glass.
constexpr double young_mpa = 70e3;
constexpr double poisson = 0.2;
constexpr double conductivity = 1.0;     // W/(m K)
constexpr double heat_capacity = 720.0;  // J/(kg K)
constexpr double density_kg_m3 = 2500.0;
constexpr double diffusivity = conductivity / (density_kg_m3 * heat_capacity);  // m2/s

// Stress allowed on the way up: a fortieth of the 45 MPa characteristic bending strength of EN 572-1, because
// edges are cut by hand and layers lie loose on each other. On the way down a third of that may stay.
constexpr double heating_stress_mpa = 1.1;
constexpr double cooling_stress_mpa = 0.35;

// Rates that a studio kiln follows, K/h.
constexpr double fastest_up = 350;
constexpr double fastest_down = 150;
constexpr double to_finish = 300;
constexpr double to_annealing = 500;

// Viscosity at which each finish is held, log10 Pa.s, and for how long. Estimates of ours: at 10^5.5 Pa.s a
// 0.1 mm grain sinters in about a minute, at 10^4.65 texture of millimetres levels in about ten.
struct Hold {
  double log_pa_s;
  double minutes;
};
Hold hold_for(Finish finish) {
  switch (finish) {
    case Finish::full:
      return {4.65, 12};
    case Finish::contour:
      return {5.05, 10};
    default:
      return {5.5, 8};
  }
}

double rounded(double value, double step) {
  return std::max(step, std::round(value / step) * step);
}

}  // namespace

ViscosityCurve::ViscosityCurve(const GlassConstants& glass) {
  const double soft = log_softening - vft_a, anneal = log_annealing - vft_a;
  t0_ = (anneal * glass.annealing.value() - soft * glass.softening.value()) / (anneal - soft);
  b_ = soft * (glass.softening.value() - t0_);
}
double ViscosityCurve::log10_pa_s(Celsius t) const {
  return vft_a + b_ / (t.value() - t0_);
}
Celsius ViscosityCurve::temperature_at(double log_eta) const {
  return Celsius(t0_ + b_ / (log_eta - vft_a));
}

double rate_for_stress(Millimetres thickness, double expansion_per_k, double stress_mpa) {
  const double difference = 1.5 * stress_mpa * (1 - poisson) / (young_mpa * expansion_per_k);
  const double metres = thickness.value() / 1000;
  return difference * 2 * diffusivity / (metres * metres) * 3600;
}

std::vector<Segment> starting_schedule(const GlassConstants& glass, Millimetres thickness, Finish finish) {
  const Hold hold = hold_for(finish);
  const Celsius top = ViscosityCurve(glass).temperature_at(hold.log_pa_s);
  const double up =
      std::min(fastest_up, rate_for_stress(thickness, glass.expansion_per_k, heating_stress_mpa));
  const double down =
      std::min(fastest_down, rate_for_stress(thickness, glass.expansion_per_k, cooling_stress_mpa));
  // Hold until the plate is even: four times the time constant L^2 / (pi^2/4 * diffusivity), at least half an
  // hour.
  const double metres = thickness.value() / 1000;
  const double even_min = 4 * metres * metres / (2.467 * diffusivity) / 60;
  const auto whole = [](Celsius t) { return Celsius(std::round(t.value())); };
  return {
      {rounded(up, 10), whole(glass.softening - Celsius(20)), 20},
      {to_finish, whole(top), hold.minutes},
      {to_annealing, whole(glass.annealing), rounded(std::max(30.0, 30 + even_min), 5)},
      {rounded(down, 5), whole(glass.strain - Celsius(50)), 0},
      {rounded(std::min(fastest_down, 2 * down), 5), Celsius(50), 0},
  };
}

}  // namespace powderplan
