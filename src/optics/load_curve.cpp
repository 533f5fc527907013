#include "optics/load_curve.h"

#include <cmath>

namespace powderplan {

Load LoadCurve::operator()(Load load) const {
  if (points_.empty())
    return load;
  const LoadPoint* before = &points_.front();
  for (const LoadPoint& point : points_) {
    if (load <= point.load) {
      if (&point == before)
        break;
      const double way = std::log(load / before->load) / std::log(point.load / before->load);
      return before->effective * std::pow(point.effective / before->effective, way);
    }
    before = &point;
  }
  return load * (before->effective / before->load);
}

}  // namespace powderplan
