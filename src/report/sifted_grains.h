// Grains of one layer as they fell: where each lies, how large it is, what it covers.
//
// Sifted grains lie at random, a Poisson process (the Boolean model, as of optics/grain.h). Each grain comes
// from a hash of the seed, the layer and its place, so any part of a piece, at any pitch and by any number of
// threads, has the same grains. Each carries a mark, 0..1: it lies at a spot when its mark, times
// `most_covers`, is below the covers that the spot's load makes; a heavier tone holds the grains of a lighter
// one.
#pragma once

#include <cstdint>
#include <span>

#include "optics/finish.h"
#include "units.h"

namespace powderplan {

// Grains that lie thicker than this, in covers (load over load_of_one_cover), are not drawn one by one.
inline constexpr double most_covers = 4;

struct GrainKind {
  std::uint64_t seed = 0;  // of the layer
  Millimetres cold;        // diameter as sifted
  FinishValues values;     // what the kiln has made of it
};

// Diameter of the mean shadow.
Millimetres spread_diameter(const GrainKind& kind);
// Sizes of shadows differ by this share to both sides of the mean diameter, evenly.
inline constexpr double size_range = 0.2;

// Steepest slope (height over length) of a grain's cap; the cap is a paraboloid, so slopes lie evenly in a
// disc of this radius and their mean is 0. A loose sphere is steeper; light that goes through glass softens
// that.
double steepest_slope(const FinishValues& values);

// Points in rows, `step` mm apart, the first at (left, top), all in mm from the piece's top left corner.
struct PointRows {
  double left = 0, top = 0, step = 0;
  int width = 0, height = 0;
};

// What a point shows of one layer.
struct GrainPoint {
  float open = 1;                  // share that no grain covers, 0..1
  float slope_x = 0, slope_y = 0;  // of the grain on top: of two that overlap, the one with the higher mark
};

// `covers` and `points` hold one value a point, row by row; points come in open. The mean of 1 - open over
// many points is covered_share (optics/grain.h) of the covers, exactly, because a grain's soft edge is laid
// out so that its shadow keeps its area: mean of the product over grains of (1 - a) is exp(-density * area of
// a), whatever the shape (Stoyan, Kendall, Mecke). A cold grain is angular, a melted one round and soft. The
// step must be below `coarsest_step`.
void lay_grains(const GrainKind& kind, const PointRows& rows, std::span<const float> covers,
                std::span<GrainPoint> points);
Millimetres coarsest_step(const GrainKind& kind);

}  // namespace powderplan
