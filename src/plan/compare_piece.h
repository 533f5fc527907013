// A fired piece laid on its plan: where it differs, and which powder would explain it by being heavier or
// lighter than planned.
#pragma once

#include <cstdint>
#include <vector>

#include "colour/tristimulus.h"
#include "raster/image.h"
#include "report/plan_record.h"
#include "separation/target.h"

namespace powderplan {

// What the piece looks like, on a grid over the whole of it.
struct SeenPiece {
  Grid grid;
  Image<Xyz> colour;              // adapted to D65
  Image<std::uint8_t> untrusted;  // 1: clipped, or not in the photo
};

struct RegionFinding {
  int id = 0;  // as Region::id
  double area_cm2 = 0;
  double mean_de00 = 0;
  double lighter = 0;  // mean of L*, seen minus planned
};

struct LayerFinding {
  std::size_t layer = 0;  // place in PlanRecord::layers
  double mean_de00 = 0, lighter = 0;
  std::vector<RegionFinding> regions;
};

struct PowderFinding {
  std::size_t powder = 0;  // place in Palette::powders
  double factor = 1;       // what its loads seem to be, as a multiple of what was planned
  double off_by = 0;       // standard deviation of the factor; large: the photo does not tell
};

struct PieceComparison {
  std::size_t firings_done = 0;
  Grid grid;
  Image<Rgb8> planned, seen;  // as they would look in daylight
  Image<float> de00;
  Image<std::uint8_t> counts;  // 1 where the photo can be trusted
  double mean_de00 = 0, p95_de00 = 0;
  double explained_de00 = 0;           // the mean that is left when the powders had the factors found
  std::vector<PowderFinding> powders;  // those that lie by then
  std::vector<LayerFinding> layers;
  std::vector<double> strength;  // by layer of the plan; 1 for those still to come
};

// The plan is taken as it is after `firings_done` firings, on the wall. Small errors of placing (a few mm)
// are taken out first, by laying the photo's lightness on the plan's (an affine map that makes their
// correlation largest: Evangelidis and Psarakis 2008, enhanced correlation coefficient). Strengths come from
// least squares with weights that fall for what fits nowhere (Huber 1964), over all even places; the overall
// exposure of the photo is fitted too, within `exposure_sigma`. A powder that is hidden keeps 1 and a large
// off_by.
PieceComparison compare_piece(const PlanRecord& record, std::size_t firings_done, const SeenPiece& seen);

// How far a photo's lightness is off as a whole, as a share: what the white reference leaves.
inline constexpr double exposure_sigma = 0.02;
// Distance of the points that are compared.
Millimetres comparison_pitch(const PlanRecord& record);

}  // namespace powderplan
