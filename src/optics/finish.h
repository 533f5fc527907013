// What the heat of the kiln has made of a powder: four numbers, and the names under which a studio knows
// them.
#pragma once

#include <optional>
#include <string_view>

#include "units.h"

namespace powderplan {

// In order of heat. `unfired` is loose powder as it lies before the kiln.
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

// The values behind a name, for a powder of this grain size. Estimates of ours, to be replaced by what a
// schedule gives; the checks on them are what the trade knows (dry tack-fused black looks grey, loose powder
// looks pale, a textured finish needs less powder in a window or on a dark ground). On a ground lighter than
// the powder a texture needs a little more here, because all it does in this model is to send light back.
FinishValues finish_values(Finish finish, Millimetres grain, Density density = glass_density);

}  // namespace powderplan
