// A kiln schedule, and how much heat is in it.
#pragma once

#include <vector>

#include "firing/viscosity.h"
#include "units.h"

namespace powderplan {

// One leg of a kiln schedule: go to a temperature at a rate, then hold.
struct Segment {
  double rate_c_per_h = 0;  // its sign does not matter; 0: at once, a leg that takes no time
  Celsius to;
  double hold_min = 0;
};

// Begins at room temperature.
using Schedule = std::vector<Segment>;

// N/m, soda-lime glass from 500 to 700 C in dry air; 0.205 where the air holds 16 mmHg of water vapour
// (Parikh 1958, J. Am. Ceram. Soc. 41, 18; the figures are those of its abstract).
inline constexpr double surface_tension = 0.315;

// The heat of a schedule as a length: the integral over time of surface tension / viscosity. It is all that
// sintering and levelling depend on (optics/finish.h). Ramps are integrated to better than one part in a
// million. Flows of schedules that follow each other add up.
Millimetres flow_of(const Schedule& schedule, const ViscosityCurve& glass);
// Of one leg that begins at a temperature.
Millimetres flow_of(const Segment& leg, Celsius from, const ViscosityCurve& glass);

// How long a leg takes until its hold begins.
double ramp_hours(const Segment& leg, Celsius from);

// From beginning to end, without the cooling that is not programmed.
double hours_of(const Schedule& schedule);

// The hottest temperature; room temperature of an empty schedule.
Celsius top_of(const Schedule& schedule);

}  // namespace powderplan
