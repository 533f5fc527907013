// What a load of a measured powder is worth to the eye, where Kubelka-Munk alone misses the measured steps.
#pragma once

#include <vector>

#include "units.h"

namespace powderplan {

// The layer is as strong as one of `effective` by Kubelka-Munk would be.
struct LoadPoint {
  Load load, effective;
  friend constexpr bool operator==(const LoadPoint&, const LoadPoint&) = default;
};

// Rises without a break from (0, 0) through its points: up to the first at its ratio, between two as a power
// of the load (straight in the logarithms of both), beyond the last at its ratio. No points: every load is
// worth itself, so that a powder without scattering keeps exactly to Bouguer's law.
class LoadCurve {
 public:
  LoadCurve() = default;
  // Both numbers of each point must be above 0 and above those of the one before.
  explicit LoadCurve(std::vector<LoadPoint> points) : points_(std::move(points)) {}

  [[nodiscard]] Load operator()(Load load) const;
  [[nodiscard]] const std::vector<LoadPoint>& points() const { return points_; }
  friend bool operator==(const LoadCurve&, const LoadCurve&) = default;

 private:
  std::vector<LoadPoint> points_;
};

}  // namespace powderplan
