// What the heat of the kiln has made of a powder: four numbers, and the names under which a studio knows
// them.
//
// Heat is one length, the flow: the integral over time of surface tension / viscosity (firing/schedule.h
// computes it from a schedule). Flows of firings add up.
#pragma once

#include <optional>
#include <string_view>

#include "units.h"

namespace powderplan {

// In order of heat. `unfired` is loose powder as it lies before the kiln; the others are targets, below.
enum class Finish { unfired, tack, contour, full };

std::optional<Finish> finish_named(std::string_view name);
std::string_view name_of(Finish finish);

struct FinishValues {
  // Share of the air between the grains that has closed, 0..1. What is left scatters:
  // s_effective = s + s_air * (1 - fused).
  double fused = 1;
  // How far a grain has spread, as a multiple of its shadow when cold; at least 1.
  double spread = 1;
  // Scattering of the powder with all of its air, cm2/g.
  double s_air = 0;
  // Share of the surface's outer reflection that is mixed into the colour, 0 gloss .. 1 rough.
  double matte = 0;
  friend constexpr bool operator==(const FinishValues&, const FinishValues&) = default;
};

// What a flow makes of a powder of this grain size (diameter). No flow: loose powder.
//   fused   sintering.h
//   matte   what is left of the grains' texture, a wave of two diameters (a grain and the gap beside it) on a
//           deep layer, levelling.h
//   spread  a grain that lies cold has its own shadow; one that has sunk flush into a sheet as soft as itself
//           is a half sphere of the same volume, with 2^(2/3) = 1.59 times the shadow. The share of that way
//           is 1 - exp(-3 flow / (2 r)): it begins as the neck to the sheet, x^2/r^2 = 3 flow / (2 r)
//           (Frenkel 1945), and ends as all small departures from rest do in viscous flow
//   s_air   a fifth for each single cover, by the surfaces of the grains
// What is within a thousandth of its end is taken as there: nobody sees it, and layers that went through one
// full firing or two are the same glass.
FinishValues fired_values(Millimetres flow, Millimetres grain, Density density = glass_density);

// What a named finish promises of a grain. Tack holds and keeps its texture; contour is soft to the touch;
// full has lost the grain, and the relief that openings and webs of 2 mm leave (a wave of 4 mm) is nearly
// level. Of our choosing: tack and the two 0.15 are what the trade's words mean as far as we can tell.
struct FinishTarget {
  Finish finish;
  double fused;        // at least
  double grain_matte;  // at most
  double relief_left;  // at most, of a wave of `relief_wave`
};
inline constexpr Millimetres relief_wave{4.0};
inline constexpr FinishTarget finish_targets[] = {
    {Finish::tack, 0.93, 1.0, 1.0}, {Finish::contour, 0.93, 0.15, 1.0}, {Finish::full, 0.93, 0.01, 0.15}};

// The least flow at which a grain reaches a finish: 0.64 radii for tack, 2.4 for contour; for full 5.9 radii
// or 2.4 mm, whichever is more. None for unfired.
Millimetres flow_for(Finish finish, Millimetres grain);

// The hottest finish that a grain has reached; `unfired` when it has not reached tack. A flow that is short
// of the target by less than `finish_tolerance` counts: schedules are rounded to whole degrees.
Finish finish_reached(Millimetres flow, Millimetres grain);
inline constexpr double finish_tolerance = 0.05;

// The same in words: "unfired", "below tack", "tack", "contour", "full".
std::string_view reached_in_words(Millimetres flow, Millimetres grain);

}  // namespace powderplan
