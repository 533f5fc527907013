// A kiln schedule as a starting point, from the glass's own points, the thickness of the piece and the finish
// that is wanted. The glass maker's chart, the kiln's manual and a test piece come first.
#pragma once

#include "firing/plate_stress.h"
#include "firing/schedule.h"
#include "optics/finish.h"

namespace powderplan {

// Stress at the heated face allowed on the way up: a fortieth of the 45 MPa characteristic bending strength
// of EN 572-1, because edges are cut by hand and layers lie loose on each other. On the way down a third of
// that through the annealing range, where it is frozen in and stays, and twice as much below, where it
// passes, but pulls at the faces on top of what stays. Choices of ours.
inline constexpr double heating_stress_mpa = 1.1;
inline constexpr double cooling_stress_mpa = 0.35;
inline constexpr double late_cooling_stress_mpa = 0.7;

// Up as fast as stress allows; a hold in which air finds its way out before the pores close; up to the finish
// and a hold there; down to the annealing point, a hold until the plate is even; slowly through the annealing
// range to 50 degrees below the strain point; faster to 50 C.
// The top temperature and its hold are such that the flow of the whole schedule, ramps included and all
// numbers rounded as shown, is that which a grain of size `reference` needs for `finish` (flow_for), within
// flow_rounding. Throws Problem (input) for a glass whose points are out of order.
Schedule starting_schedule(const GlassConstants& glass, Millimetres thickness, Finish finish,
                           Millimetres reference, HeatedFaces faces = HeatedFaces::one);
inline constexpr double flow_rounding = 0.03;

}  // namespace powderplan
