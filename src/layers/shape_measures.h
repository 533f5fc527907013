// Sizes of shapes and how they lie to each other.
#pragma once

#include "shape.h"

namespace powderplan {

// mm2; positive when the points go round clockwise as seen, with y downwards (shoelace formula).
double signed_area(const PolygonMm& shape);

// Of the outline.
double length_mm(const PolygonMm& shape);

// The middle of its area; of a shape without area, the mean of its points. The shape has at least one point.
PointMm centre_of(const PolygonMm& shape);

// The shape has at least one point.
BoxMm box_of(const PolygonMm& shape);

// Whether any part of the way from a to b lies in the box or on its edge (Liang and Barsky 1984).
bool meets(PointMm a, PointMm b, const BoxMm& box);

// Whether the outline runs through the box or touches it.
bool outline_meets(const PolygonMm& shape, const BoxMm& box);

}  // namespace powderplan
