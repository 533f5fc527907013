// Pictures of the piece, one grid point a pixel: as it is to become, and as it looks on the way there.
#pragma once

#include "report/stage.h"

namespace powderplan {

// Every point shows the colour of its label; see stage.h for the rule of the stack.
Image<Rgb8> picture_at(const PlanRecord& record, const Moment& moment, View view);

// The same from the colours of all spots.
Image<Rgb8> picture_of_spots(const PlanRecord& record, const std::vector<Rgb8>& colours);

// The finished piece: on a wall, its backing behind it, or in a window, the light behind it.
Image<Rgb8> fired_preview(const PlanRecord& record, View view);
// After firing k, counted from 0: layers of later firings are not there yet.
Image<Rgb8> after_firing(const PlanRecord& record, std::size_t firing, View view);
// As it goes into firing k, on the bench: its layers lie as loose powder on what is fired already. Loose
// powder scatters so strongly that it looks pale.
Image<Rgb8> before_firing(const PlanRecord& record, std::size_t firing);

// What the plan aims at. Points that the picture leaves bare show the bare sheet.
Image<Rgb8> target_picture(const PlanRecord& record);
// True where the picture says something: there the target counts.
bool pictured(const PlanRecord& record, std::size_t point);

// Made smaller until it is at most `most_width` wide: mean of the light, not of the codes. A picture that is
// not wider is returned as it is.
Image<Rgb8> shrunk(const Image<Rgb8>& picture, int most_width);
// Exactly so wide, smaller or larger.
Image<Rgb8> at_width(const Image<Rgb8>& picture, int width);
// The same, and exactly so high: where a layout has rounded both.
Image<Rgb8> at_size(const Image<Rgb8>& picture, int width, int height);

}  // namespace powderplan
