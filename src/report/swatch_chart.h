// The shelf on one picture: what each powder becomes at several loads on each sheet.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "colour/tristimulus.h"
#include "glass/palette.h"
#include "raster/image.h"

namespace powderplan {

// Side of a pixel of the chart: printed at its true size a field is 6 by 8 mm.
inline constexpr Millimetres chart_pitch{0.2};

// The loads of the fields after the bare sheet, g/cm2: from a dusting to a full load.
inline constexpr std::array chart_loads{Load(0.05), Load(0.1), Load(0.2), Load(0.4), full_load};

// One row a powder in the order of the palette, two groups of fields a sheet: as a wall piece on a white
// backing, and as a window with the light behind; all fired full, under D65. Always the same pixels for the
// same palette. Throws Problem (other) when the shelf is too large for one picture.
Image<Rgb8> swatch_chart(const Palette& palette);

// The same as a PNG file of true size.
std::vector<std::uint8_t> swatch_chart_png(const Palette& palette);

}  // namespace powderplan
