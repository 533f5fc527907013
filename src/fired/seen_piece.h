// A fired piece as a photo shows it.
#pragma once

#include <cstdint>

#include "colour/spectrum.h"
#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

// On a grid over the whole of the piece.
struct SeenPiece {
  Grid grid;
  Image<Xyz> colour;              // adapted to D65
  Image<std::uint8_t> untrusted;  // 1: clipped, or not in the photo
  Spectrum under;                 // what it lay on, share reflected: clear glass shows it
};

}  // namespace powderplan
