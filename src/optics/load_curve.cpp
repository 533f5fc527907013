#include "optics/load_curve.h"

namespace powderplan {

Load LoadCurve::operator()(Load load) const {
  LoadPoint before{Load(0), Load(0)};
  for (const LoadPoint& point : points_) {
    if (load <= point.load)
      return before.effective +
             (point.effective - before.effective) * ((load - before.load) / (point.load - before.load));
    before = point;
  }
  return points_.empty() ? load : load * (before.effective / before.load);
}

}  // namespace powderplan
