// Where the plan misses its target, and by how much.
#pragma once

#include <string>

#include "report/preview.h"

namespace powderplan {

struct DifferenceField {
  Image<float> de00;  // CIEDE2000 (colour/quick_difference.h), a point a value; 0 where the picture leaves
                      // the sheet bare
  double mean = 0, p95 = 0;  // over the points that count; 95 % of them are at or below p95
};

// Of two pictures of the plan's grid, as they are stored in 8 bits.
DifferenceField differences(const PlanRecord& record, const Image<Rgb8>& target, const Image<Rgb8>& plan);

// A difference of this much and more has the end colour of the scale.
inline constexpr double end_of_scale_de00 = 15.0;
// Below this a difference is small beside what the powders themselves vary by.
inline constexpr double good_de00 = 3.0;

// Dark for no difference, light for much, with evenly growing lightness (CIE L* 14 to 96), so that it reads
// the same to every eye and in grey.
Rgb8 difference_colour(double de00);

// A map of differences with a strip below it: the scale, the mark at good_de00, and mean and 95th percentile.
// A map narrower than the strip needs is followed by white to its right.
PictureRows<Rgb8> with_difference_scale(PictureRows<Rgb8> map, const std::string& title, double mean,
                                        double p95);
// Of points that do not count: mid grey.
inline constexpr Rgb8 not_counted_colour{128, 128, 128};

// The field between target and finished piece in the plan's view, one point a pixel, and below it a strip
// with the scale, the mark at good_de00, and mean and 95th percentile. Bare points are mid grey. A map
// narrower than the strip needs is followed by white to its right.
PictureRows<Rgb8> difference_map(const PlanRecord& record);
// The same when the finished piece is there already, row by row.
PictureRows<Rgb8> difference_map(const PlanRecord& record, const PictureRows<Rgb8>& finished);

}  // namespace powderplan
