// A strip of pictures that shows how the piece grows: at each firing as it goes in and as it comes out.
#pragma once

#include <vector>

#include "report/plan_record.h"

namespace powderplan {

// The piece before and after a firing, any size in its proportions.
struct FiringPictures {
  Image<Rgb8> before, after;
};

// One a firing, shrunk to `most_width`: loose powder on a wall's backing, fired in the plan's view.
std::vector<FiringPictures> firing_pictures(const PlanRecord& record, int most_width);

// Firings side by side, or below each other where that shows them larger: number, finish, top temperature,
// the piece with its powder loose and the piece fired, all at one scale, with a ruler in mm. `strip_width`
// pixels wide; no firing, no strip: then the finished piece alone.
Image<Rgb8> firing_strip(const PlanRecord& record, const std::vector<FiringPictures>& pictures);
inline constexpr int strip_width = 1600;
// No picture on it is wider.
inline constexpr int strip_picture_width = 640;
// A point of a usual screen, 96 an inch: the strip is for screens.
inline constexpr Millimetres screen_pitch{25.4 / 96};

// "tack finish, up to 660 °C", as on the strip.
std::string heat_words(const Firing& firing);

}  // namespace powderplan
