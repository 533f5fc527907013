// The form of one grain's shadow.
#pragma once

#include "report/sifted_grains.h"

namespace powderplan {

// The form of a grain: a stretched disc, or a stretched polygon while it is cold.
struct GrainForm {
  bool angular;
  double most_stretch;
  double radius;  // of a disc of the mean shadow, mm
  double edge;    // half the width of its soft edge, in its own radii
};

// Drawn with points `step` mm apart: an edge is no sharper than they can show.
GrainForm form_of(const GrainKind& kind, double step);

// A disc whose edge falls off evenly between r (1 - e) and r (1 + e) has the shadow pi r^2 (1 + e^2/3).
double radius_with_edge(double edge);

}  // namespace powderplan
