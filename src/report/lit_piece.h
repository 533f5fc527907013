// The whole piece as one sees it from in front: on its wall with a shadow, or before the light of a window,
// with the edge of its glass.
#pragma once

#include "report/stage.h"

namespace powderplan {

// Radius to which the heat so far has rounded the upper edge of the sheet: half its thickness, less what is
// left of a wave as long as the sheet is thick (Orchard 1962, optics/levelling.h); at least the seam that is
// ground before firing, `seamed_edge`.
Millimetres edge_radius(const PlanRecord& record, const Moment& moment);
inline constexpr Millimetres seamed_edge{0.15};

// Around the piece, mm.
struct Margins {
  double left = 0, top = 0, right = 0, bottom = 0;
};

// `surface` shows the piece alone (report/surface.h). Around it lie margins: of wall, in the colour of the
// plan's backing, under the light of report/surface_light.h; or of window light, with nothing before it.
// Beyond the rounded edge the surface keeps its colours, but for what a gloss finish mirrors of the room on a
// wall, at most `most_mirrored` of white light.
Image<Rgb8> lit_piece(const PlanRecord& record, const Moment& moment, View view, const Image<Rgb8>& surface,
                      const Margins& margins);
inline constexpr double most_mirrored = 0.006;

}  // namespace powderplan
