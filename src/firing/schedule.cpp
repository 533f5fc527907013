#include "firing/schedule.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

constexpr double metre = 1000;  // mm
// Simpson's rule over pieces of a ramp: viscosity changes by a factor of e in no less than some 8 degrees.
constexpr double widest_piece_k = 2;

// Mean of the fluidity over the temperatures between.
double mean_fluidity(Celsius from, Celsius to, const ViscosityCurve& glass) {
  const double span = to.value() - from.value();
  const int pieces = std::max(1, static_cast<int>(std::ceil(std::abs(span) / widest_piece_k)));
  const double step = span / pieces;
  double ends = 0, middles = 0;
  for (int i = 0; i < pieces; ++i) {
    ends += glass.fluidity(from + Celsius(step * i));
    middles += glass.fluidity(from + Celsius(step * (i + 0.5)));
  }
  const double inner_ends = ends - glass.fluidity(from) / 2 + glass.fluidity(to) / 2;
  return (inner_ends + 2 * middles) / (3.0 * pieces);
}

}  // namespace

double ramp_hours(const Segment& leg, Celsius from) {
  return leg.rate_c_per_h == 0 ? 0 : std::abs((leg.to.value() - from.value()) / leg.rate_c_per_h);
}

Millimetres flow_of(const Segment& leg, Celsius from, const ViscosityCurve& glass) {
  const double ramp_s = ramp_hours(leg, from) * 3600, hold_s = leg.hold_min * 60;
  const double seconds_by_fluidity =
      (ramp_s > 0 ? ramp_s * mean_fluidity(from, leg.to, glass) : 0) + hold_s * glass.fluidity(leg.to);
  return Millimetres(surface_tension * seconds_by_fluidity * metre);
}

Millimetres flow_of(const Schedule& schedule, const ViscosityCurve& glass) {
  Millimetres flow;
  Celsius at = room_temperature;
  for (const Segment& leg : schedule) {
    flow += flow_of(leg, at, glass);
    at = leg.to;
  }
  return flow;
}

double hours_of(const Schedule& schedule) {
  double hours = 0;
  Celsius at = room_temperature;
  for (const Segment& leg : schedule) {
    hours += ramp_hours(leg, at) + leg.hold_min / 60;
    at = leg.to;
  }
  return hours;
}

Celsius top_of(const Schedule& schedule) {
  Celsius top = room_temperature;
  for (const Segment& leg : schedule)
    top = std::max(top, leg.to);
  return top;
}

}  // namespace powderplan
