// A fade as a hand lays it: lines of equal load, how much lies between them, where to start, which way, and
// how high to hold the sifter.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "layers/fade_course.h"
#include "layers/fade_edges.h"
#include "layers/layer.h"
#include "separation/separation.h"
#include "shape.h"
#include "units.h"

namespace powderplan {

// All shares below are of the load where the fade is fullest (fullest_load): few fades reach their whole
// load. Lines are drawn at these shares; where fewer than two of them come up within the fade, at every
// eighth.
inline constexpr std::array usual_fade_shares{0.125, 0.25, 0.5, 0.75};

struct FadeLevel {
  double share = 0;
  Load load;
  // Inside the openings only, when there are any. One that closes repeats its first point at its end.
  std::vector<LineMm> lines;
};

// Between two levels, or below the first, or above the last. What lies on the piece's points is counted, so
// all bands together are what lands.
struct FadeBand {
  double from = 0, to = 0;  // 0 and 1 at the ends, what exceeds 1 included
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
  Millimetres edge;  // from 10 to 90 %, the narrowest that this hold lays
  Millimetres height;
  // Where less than half lies: as high as the mean slope there allows, up to twice as high.
  Millimetres height_where_thin;
};

// A connected part of the fade: an opening of its template, or all of a free one.
struct FadePlace {
  FadeWay way;
  Grams lands;
};

struct FadeBench {
  bool free = false;
  Load full;                      // where it is fullest
  std::vector<FadeLevel> levels;  // those that come up within the fade, lightest first
  std::vector<FadeBand> bands;    // those in which something lies, lightest first
  std::vector<FadePlace> places;  // worth a look of their own, the one with most powder first
  // Of all places together: the way of the only one, or one that they share (those with most of the powder,
  // and directions within 45 degrees), or `several`. The starts are those of all places that are not even.
  FadeWay way;
  FadeHold hold;
  std::optional<FadeEdges> edges;  // of one that its template bounds
};

// A place with less of the layer's powder than this share is laid like the others; so many at most are told
// apart. A way is shared when places with this share of the powder have it.
inline constexpr double least_place = 0.02, shared_from = 0.8;
inline constexpr std::size_t most_places = 8;

// What lies where a layer is fullest: its load, or less of a fade, whose single peaks count for nothing: so
// much or more lies on this share of its area.
inline constexpr double fullest_area = 0.02;
Load fullest_load(const Layer& layer);

// The field behind a layer, or nothing when it is no fade of this separation.
const Fade* fade_of(const Separation& separation, const Layer& layer);

// `low_edge`: the narrowest edge of the low hold.
FadeBench fade_bench(const Layer& layer, const Fade& fade, const Grid& grid, Millimetres low_edge);

// Height for an edge of this width, by the rule above, at most highest_hold.
Millimetres height_for_edge(Millimetres edge);

}  // namespace powderplan
