// A disc laid on every point of a mask, for 64 points at once: where it lies wholly in the mask, and where it
// meets it.
#pragma once

#include <opencv2/core/types.hpp>
#include <vector>

#include "raster/bit_mask.h"

namespace powderplan {

// The disc of a diameter in points as rows of points: the first of them `first_row` rows below the point
// asked about, each from `first` on. Those points are in whose middle lies in a circle of the diameter; for
// an even one its centre is a grid corner.
struct DiscRows {
  struct Run {
    int first, length;
  };
  int first_row;
  std::vector<Run> rows;
};
// About the point diameter / 2 rows and columns from the disc's corner; `mirrored`: turned about it by half a
// turn.
DiscRows rows_of_disc(int diameter, bool mirrored);

// The points of a result of this size, which may be larger than the mask, about which all of the disc is in
// (beyond the mask everything is), or any of it (nothing is beyond the mask). A disc is a stack of rows;
// whether all or any of n points in a row are in is told by doubling in log2(n) steps.
BitMask where_all_in(const BitMask& mask, const DiscRows& disc, cv::Size size);
BitMask where_any_in(const BitMask& mask, const DiscRows& disc, cv::Size size);

// The same on the mask's own points: on which a whole disc lies in the mask, or beyond its edge; on which a
// disc lies on any point of the mask; and what discs on such places cover.
BitMask places_of_disc(const BitMask& mask, int diameter);
BitMask discs_touching(const BitMask& mask, int diameter);
BitMask covered_by_discs(const BitMask& places, int diameter);

// Takes the disc's points away round each of the points.
void clear_discs(BitMask& mask, const DiscRows& disc, const std::vector<cv::Point>& points);

}  // namespace powderplan
