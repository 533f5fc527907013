// JPEG files of pictures in which colours run into one another (libjpeg).
#pragma once

#include <cstdint>
#include <vector>

#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

// sRGB, every colour at every pixel (no chroma subsampling: a thin red line stays red). `quality` from 1 to
// 100, as libjpeg scales the tables of annex K of ISO/IEC 10918-1. The same picture always gives the same
// bytes. The picture must have pixels and at most 65500 of them a side.
std::vector<std::uint8_t> encode_jpeg(const Image<Rgb8>& picture, int quality);

}  // namespace powderplan
