// A fade as a hand lays it: lines of equal load, how much lies between them, where to start, which way, and
// how high to hold the sifter.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "layers/fade_course.h"
#include "layers/fade_edges.h"
#include "layers/layer.h"
#include "layers/shape.h"
#include "separation/separation.h"
#include "units.h"

namespace powderplan {

// Shares of the layer's load at which lines are drawn; where fewer than two of them come up within the fade,
// every eighth of the load.
inline constexpr std::array usual_fade_shares{0.125, 0.25, 0.5, 0.75};

struct FadeLevel {
  double share = 0;  // of the layer's load
  Load load;
  // Inside the openings only, when there are any. One that closes repeats its first point at its end.
  std::vector<LineMm> lines;
};

// Between two levels, or below the first, or above the last. What lies on the piece's points is counted, so
// all bands together are what lands.
struct FadeBand {
  double from = 0, to = 0;  // shares of the layer's load, 0 and 1 at the ends
  double area_cm2 = 0;
  Grams lands;
  Load mean;
};

// How high the sifter is held. Grains leave a sifter within a fixed spread of directions, so the soft edge
// grows in proportion to the height; that 1 cm of height gives 0.8 mm of edge is an estimate of ours and
// differs from sifter to sifter: a trial on paper comes first.
inline constexpr double height_per_edge = 12.5;
// Higher than this nobody can aim.
inline constexpr Millimetres highest_hold{400};
// The higher of the two holds, and not the low one, when its edge is wider than the low hold's by this.
inline constexpr double held_high_from = 1.5;

struct FadeHold {
  bool high = false;
  Millimetres edge;  // from 10 to 90 % of the load, the narrowest that this hold lays
  Millimetres height;
  // Where less than half of the load lies: as high as the mean slope there allows, up to twice as high.
  Millimetres height_where_thin;
};

struct FadeBench {
  bool free = false;
  std::vector<FadeLevel> levels;  // those that come up within the fade, lightest first
  std::vector<FadeBand> bands;    // those in which something lies, lightest first
  FadeWay way;
  FadeHold hold;
  std::optional<FadeEdges> edges;  // of one that its template bounds
};

// The field behind a layer, or nothing when it is no fade of this separation.
const Fade* fade_of(const Separation& separation, const Layer& layer);

// `low_edge`: the narrowest edge of the low hold.
FadeBench fade_bench(const Layer& layer, const Fade& fade, const Grid& grid, Millimetres low_edge);

// Height for an edge of this width, by the rule above, at most highest_hold.
Millimetres height_for_edge(Millimetres edge);

}  // namespace powderplan
