// Numbers as they are read at the bench: rounded to what a scale, a ruler or a kiln shows, with their unit.
#pragma once

#include <string>

#include "units.h"

namespace powderplan {

// Less than this is nothing to a scale that shows 0.01 g.
inline constexpr Grams least_shown{0.005};

// 0.01 g below 1 g, 0.1 g above; what is there but too little for the scale is "under 0.01 g".
std::string shown(Grams weight);
// With as many decimals as the scale shows: "0.50 g" on a scale of 0.01 g.
std::string shown_on_scale(Grams weight, Grams scale);
// Two digits that count, at least: "0.18 g/cm²", "0.045 g/cm²".
std::string shown(Load load);
// "1.4 mm"; whole above 10 mm.
std::string shown(Millimetres length);
std::string shown_area(double cm2);
std::string shown(Celsius temperature);             // "815"
std::string shown_fahrenheit(Celsius temperature);  // "1499"
std::string shown_minutes(double minutes);          // "25 min", "1 h 30 min", from 10 h "37 h"
// One decimal.
std::string shown_difference(double de00);

}  // namespace powderplan
