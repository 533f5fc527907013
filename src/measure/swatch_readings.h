// Fired swatches of which only screen colours are known, as readings.
#pragma once

#include <string>
#include <vector>

#include "measure/readings.h"

namespace powderplan {

// Fewer colours settle too little to be worth more than the two of a palette.
inline constexpr std::size_t least_swatches = 3;

// Each text is LOAD,GROUND,#rrggbb: g/cm2 of powder; "white" or "black" (the grounds of optics/swatch.h), or
// the bare colour of an opaque ground as #rrggbb; the fired colour under D65. `place` names them in messages,
// e.g. "--swatch". Grain and flow are left to the caller. Throws Problem (command_line): too few, not three
// parts, no number, no colour, the same load and ground twice.
Readings swatch_readings(const std::vector<std::string>& swatches, const std::string& place);

}  // namespace powderplan
