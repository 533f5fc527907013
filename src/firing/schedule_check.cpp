#include "firing/schedule_check.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

constexpr Celsius above_annealing{20};

}  // namespace

HighestStress highest_stress(const Schedule& schedule, const GlassConstants& glass, Millimetres thickness,
                             HeatedFaces faces) {
  HighestStress highest;
  Celsius from = room_temperature;
  for (std::size_t i = 0; i < schedule.size(); ++i) {
    const Celsius to = schedule[i].to;
    if (to != from && std::min(from, to) < glass.annealing) {
      const double mpa =
          std::abs(plate_stress(schedule[i].rate_c_per_h, thickness, glass.expansion_per_k, faces).face_mpa);
      std::optional<LegStress>& way = to > from ? highest.up : highest.down;
      if (!way || mpa > way->face_mpa)
        way = LegStress{i, mpa};
    }
    from = to;
  }
  return highest;
}

std::optional<std::size_t> cools_too_fast(const Schedule& schedule, const GlassConstants& glass,
                                          double limit) {
  Celsius from = room_temperature;
  for (std::size_t i = 0; i < schedule.size(); ++i) {
    const Celsius to = schedule[i].to;
    if (to < glass.annealing && from > glass.strain && to < from &&
        std::abs(schedule[i].rate_c_per_h) > limit)
      return i;
    from = to;
  }
  return std::nullopt;
}

double annealing_minutes(const Schedule& schedule, const GlassConstants& glass) {
  const Celsius top = top_of(schedule);
  double minutes = 0;
  bool been_at_top = false;
  for (const Segment& leg : schedule) {
    if (been_at_top && leg.to >= glass.strain && leg.to <= glass.annealing + above_annealing)
      minutes += leg.hold_min;
    been_at_top = been_at_top || leg.to == top;
  }
  return minutes;
}

}  // namespace powderplan
