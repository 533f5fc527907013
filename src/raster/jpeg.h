// JPEG files of pictures in which colours run into one another (libjpeg).
#pragma once

#include <cstdint>
#include <vector>

#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

// sRGB, every colour at every pixel (no chroma subsampling: a thin red line stays red). `quality` from 1 to
// 100, as libjpeg scales the tables of annex K of ISO/IEC 10918-1. The same picture always gives the same
// bytes. Throws Problem (other) for a picture of more than most_jpeg_side pixels a side or of none.
std::vector<std::uint8_t> encode_jpeg(const Image<Rgb8>& picture, int quality);
inline constexpr int most_jpeg_side = 65500;

}  // namespace powderplan
