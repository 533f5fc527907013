// The picture of one step at the bench.
#pragma once

#include "report/preview.h"

namespace powderplan {

// Marks where powder goes, on every page alike: strong on screen, mid grey with a dark edge in print.
inline constexpr Rgb8 mark_colour{240, 108, 24};
inline constexpr Rgb8 mark_edge_colour{40, 20, 0};

// The piece just before a layer is laid, in pale grey (CIE L* 66 to 97), with the points where that layer
// goes in the mark colour, edged. At most `most_width` wide, and enlarged by a whole factor towards it where
// the grid is coarse.
Image<Rgb8> step_picture(const PlanRecord& record, std::size_t layer, int most_width);
// The same when a picture of the piece before it (on the wall, at most so wide) is there already.
Image<Rgb8> step_picture(const PlanRecord& record, std::size_t layer, const Image<Rgb8>& before,
                         int most_width);

// What lies on the piece just before a layer: the earlier firings, and the earlier layers of its own firing.
Moment moment_before_layer(const PlanRecord& record, std::size_t layer);

}  // namespace powderplan
