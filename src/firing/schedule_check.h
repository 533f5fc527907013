// What a schedule asks of a plate: stress on the way up and down, and how it goes through the annealing
// range.
#pragma once

#include <optional>

#include "firing/plate_stress.h"
#include "firing/schedule.h"

namespace powderplan {

// At the face that gives or takes the heat, MPa, without its sign. `leg` counts from 0.
struct LegStress {
  std::size_t leg = 0;
  double face_mpa = 0;
};

// Stress counts below the annealing point: above it, it is gone within minutes. Each leg is taken as long
// enough for its full stress, so that the figure is the most there can be.
struct HighestStress {
  std::optional<LegStress> up, down;  // none where no leg goes that way below the annealing point
};
HighestStress highest_stress(const Schedule& schedule, const GlassConstants& glass, Millimetres thickness,
                             HeatedFaces faces);

// The first leg that cools through some of the range from the annealing to the strain point faster than
// `limit`, K/h; what is frozen in there stays.
std::optional<std::size_t> cools_too_fast(const Schedule& schedule, const GlassConstants& glass,
                                          double limit);

// How long it is held between 20 degrees above the annealing point and the strain point, after the hottest
// leg, in minutes.
double annealing_minutes(const Schedule& schedule, const GlassConstants& glass);

}  // namespace powderplan
