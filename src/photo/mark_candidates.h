// Places in a photo that could be marks: rings within rings.
#pragma once

#include <vector>

#include "photo/flat_view.h"
#include "raster/image.h"

namespace powderplan {

struct MarkCandidate {
  PhotoPoint centre;  // of the ellipse that the outer edge makes; perspective moves it off the true centre
  Slope slope;        // of a circle of 1 mm about it, turned anyhow
  double match = 0;   // as of RingFit
  bool has_eye = false;
  double eye_lead = 0;
};

// Best match first; at most `most_candidates`. Finds marks from about 16 pixels across. Uneven light is met
// by thresholds against the surroundings at several widths.
std::vector<MarkCandidate> mark_candidates(const Image<float>& luminance);
inline constexpr std::size_t most_candidates = 20;

}  // namespace powderplan
