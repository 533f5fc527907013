// The look of the surface: what the glass will look like, close enough to see its grains, under one light.
//
// The colours are those of the optical model (report/stage.h, optics/stack.h). A thin coat is drawn grain by
// grain: where a grain lies the spot has the colour of the stack with that coat, elsewhere the colour without
// it (the states of Demichel 1924), so the mean over an area is what the model predicts (Neugebauer 1937).
// The texture that a finish leaves is shaded by report/surface_light.h.
#pragma once

#include <cstdint>

#include "report/stage.h"
#include "shape.h"

namespace powderplan {

inline constexpr std::uint64_t surface_seed = 1;

// A part of the piece, in mm from its top left corner, `pitch` mm a pixel; what lies beyond the piece's edge
// is drawn as what lies at the edge. On a wall with shading and gleam, in a window with the light coming
// through. At a pitch of more than twice a grain, and in a part of more than millions of grains, they are not
// drawn one by one: what is left of them is unevenness of the right size. Edges between spots are as sharp as
// the grid lets them be, and ragged by a grain.
//
// Mean over a field of 10 x 10 mm against the model: surface_mean_de00, CIEDE2000, for grains up to 0.3 mm
// (a field holds so few of larger ones that chance alone is more than that).
Image<Rgb8> surface_part(const PlanRecord& record, const Moment& moment, View view, const BoxMm& part,
                         Millimetres pitch, std::uint64_t seed = surface_seed);
inline constexpr double surface_mean_de00 = 1.0;

// The whole piece, the shorter of two ways: `mean`, its picture by the optical model one grid point a pixel
// (report/preview.h), made `width` pixels wide, with the unevenness of its grains laid over it; or, where a
// pixel is smaller than a grid point, surface_part. Unevenness alone is drawn from rounded
// amounts, so that few spots have to be looked at.
Image<Rgb8> surface_of_piece(const PlanRecord& record, const Moment& moment, View view,
                             const Image<Rgb8>& mean, int width, std::uint64_t seed = surface_seed);

}  // namespace powderplan
