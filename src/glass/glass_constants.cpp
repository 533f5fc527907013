#include "glass/glass_constants.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace powderplan {

std::optional<PointFault> fault_of_points(const GlassConstants& glass) {
  struct Point {
    std::string_view key, name;
    Celsius at;
  };
  const std::array<Point, 4> points{{{"", "room temperature", room_temperature},
                                     {"strain_c", "the strain point", glass.strain},
                                     {"annealing_c", "the annealing point", glass.annealing},
                                     {"softening_c", "the softening point", glass.softening}}};
  for (std::size_t i = 1; i < points.size(); ++i) {
    const Point &lower = points[i - 1], &upper = points[i];
    if (!std::isfinite(upper.at.value()))
      return PointFault{upper.key, fmt::format("{} is no number", upper.name), "give it in degrees Celsius"};
    if (lower.at < upper.at)
      continue;
    return PointFault{
        upper.key,
        fmt::format("{}, {} \u00b0C, is not above {}, {} \u00b0C", upper.name, upper.at.value(), lower.name,
                    lower.at.value()),
        "strain_c < annealing_c < softening_c must hold; take them from the glass maker's data"};
  }
  return std::nullopt;
}

}  // namespace powderplan
