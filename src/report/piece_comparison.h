// What the photo of a fired piece says about its plan.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "colour/tristimulus.h"
#include "raster/image.h"
#include "separation/target.h"

namespace powderplan {

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
  double factor = 1;       // mean over its layers by area: what lies, as a multiple of what was planned
  double off_by = 0;       // standard deviation of the factor; large: the photo does not tell
  // What was weighed out for its layers, in the same measure and mean; nothing where nobody wrote it down.
  std::optional<double> weighed = std::nullopt;
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
  // What the strengths leave unexplained, seen minus planned: where powder lies unevenly. Smoothed, and
  // nothing where it is no more than a photo's noise.
  Image<LabPixel> left;
};

// How far the factor may be off: so many standard deviations, and no less than what a scale, a hand and the
// colours of a photo leave anyway (both numbers are ours).
inline constexpr double clear_of = 2, least_told = 0.05;
double doubt_of(const PowderFinding& finding);
// Whether a finding is more than doubt: the photo tells, and the factor is off 1 by more than that.
bool is_told(const PowderFinding& finding);
// A standard deviation above this share of the factor: the photo does not tell how much there is (ours).
inline constexpr double not_told = 0.25;
// What a powder's finding means: "20 % heavier than planned (± 8)", "as planned, within 6 %", "the photo
// does not tell".
std::string in_words(const PowderFinding& finding);
// What the scale says beside the photo, and so whether the hand or the powder is to blame; empty where
// nothing was weighed.
std::string weighed_in_words(const PowderFinding& finding);

// The regions that are off most, worst first, with their layers (places in PieceComparison::layers). Those
// below a square centimetre are left out.
struct WorstRegion {
  std::size_t layer = 0;
  RegionFinding region;
};
std::vector<WorstRegion> worst_regions(const PieceComparison& comparison, std::size_t count);

}  // namespace powderplan
