// Stored samples brought to linear light with sRGB primaries: the one place where colour tags count.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "raster/light_rows.h"
#include "raster/stored_picture.h"

namespace powderplan {

// An embedded profile that fits the picture wins; then "is sRGB"; then gamma and chromaticities; then sRGB is
// assumed. Float samples without a profile are linear light
// already, with the stated primaries or those of sRGB. CMYK without a usable profile goes
// by (1 - C)(1 - K), approximate at best. Profiles are applied with relative colorimetric intent, so the
// white of their medium becomes white. What was assumed is added to `notes`. The orientation is not applied.
// The picture must outlive the rows.
LightRows to_linear(const StoredPicture& picture, std::vector<std::string>& notes);

// Three curves and a matrix, which is what sRGB, gamma with chromaticities and most profiles come to.
struct CurvesAndMatrix {
  // Linear light of the file's own primaries for each code of 8 or 16 bits.
  std::array<std::vector<float>, 3> curves;
  // Row by row: from the file's primaries to those of sRGB.
  std::array<double, 9> matrix{1, 0, 0, 0, 1, 0, 0, 0, 1};
};

// `codes` is 256 or 65 536.
CurvesAndMatrix srgb_curves(std::size_t codes);
// PNG's gAMA and cHRM; where one is missing it is that of sRGB.
CurvesAndMatrix tagged_curves(const ColourTag& tag, std::size_t codes);

}  // namespace powderplan
