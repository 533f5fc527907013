// A schedule that a studio already uses, as a TOML file:
//   [[segment]]
//   rate_c_per_h = 300
//   to_c = 660
//   hold_min = 10
#pragma once

#include <string>

#include "firing/schedule.h"
#include "range.h"

namespace powderplan {

// What one leg may say.
inline constexpr Range leg_rates{0.1, 10000, "\u00b0C per hour, up and down alike"};
inline constexpr Range leg_temperatures{room_temperature.value(), 1500,
                                        "\u00b0C; a kiln gets no colder than the room"};
inline constexpr Range leg_holds{0, 20000, "minutes"};

// `file` is only used to name the place of a fault. Throws Problem (input) with file, line, what is wrong and
// what to do: bad TOML, unknown or missing keys (the hold may be left out), numbers that are not finite or
// out of range, no segment at all.
Schedule parse_schedule(const std::string& toml, const std::string& file);

}  // namespace powderplan
