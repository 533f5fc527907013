// Which way a fade thins out, and where a hand starts it.
#pragma once

#include <vector>

#include "layers/layer.h"
#include "layers/level_lines.h"
#include "shape.h"

namespace powderplan {

enum class FadeCourse {
  even,       // hardly any difference between its fullest and its thinnest place
  one_way,    // from one side to the other
  outwards,   // from one place to all sides
  inwards,    // from all round towards one place
  from_band,  // from a line across to both sides of it
  to_band,    // from two sides towards a line between them
  several     // none of these
};
std::string_view name_of(FadeCourse course);

struct FadeWay {
  FadeCourse course = FadeCourse::even;
  // Length of the mean gradient over the mean length of the gradient, 0..1, by area: 1 when it thins out in
  // one direction everywhere, 0 when all directions are alike.
  double dominance = 0;
  // one_way: where it thins out; from_band, to_band: across the band, to the right or downwards. Length 1.
  PointMm towards;
  PointMm middle;  // outwards: its fullest place; inwards: its thinnest
  // Where it is fullest, the place round which most powder lies first.
  std::vector<PointMm> starts;
};

// Less between fullest and thinnest than this is an even coat to the eye.
inline constexpr double least_course = 0.1;
// One direction dominates from here on. Half a round spot, cut by the piece's edge, has 2/pi = 0.64.
inline constexpr double least_dominance = 0.5;
// Share of the mean gradient that points to or from one place for `outwards` and `inwards`.
inline constexpr double least_round = 0.6;
// Share of the squared gradient along one axis for `from_band` and `to_band`.
inline constexpr double least_banded = 0.85;
// A place is a start where at least this share of the fullest amount lies, and this share of what lies round
// the first start.
inline constexpr double start_amount = 0.75, start_worth = 0.1;
inline constexpr std::size_t most_starts = 6;

// From amounts (0..1) on a lattice over the piece, and 1 at its crossings where the fade may lie.
FadeWay way_of_fade(const Lattice& amount, const Image<std::uint8_t>& laid);

}  // namespace powderplan
