// What of the picture's fine detail the plan does not show.
#pragma once

#include <cstdint>

#include "raster/image.h"
#include "separation/target.h"

namespace powderplan {

// Fine detail is what a blur as wide as the smallest width takes out of a picture, in L*, a* and b*.
// Round about a point (a disc of about the smallest width) there is detail worth the name where it is at
// least this, root mean square ...
inline constexpr double least_detail = 4.0;
// ... and in the picture where that holds for at least this share of its area.
inline constexpr double least_detail_area = 0.002;

// Detail that lies this far aside is shown as well: nobody sees it, and no knife or hand is more exact.
inline constexpr Millimetres shown_aside{0.25};

struct LostDetail {
  // Of the detail (mean square, where it is worth the name), the part that lies where the plan shows less
  // than half of it in the same sense; 0..1, and 0 where there is no detail worth the name.
  double share = 0;
  // 255 where detail is lost, 0 where it is shown or there is none.
  Image<std::uint8_t> lost;
};

// `wanted` and `got` are of one size; points where `bare` is 1 do not count; empty: all count.
LostDetail lost_detail(const Image<PackedLab>& wanted, const Image<PackedLab>& got,
                       const Image<std::uint8_t>& bare, Millimetres pitch, Millimetres smallest);

}  // namespace powderplan
