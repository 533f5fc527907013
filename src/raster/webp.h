// WebP files (libwebp), for pages that carry their pictures: smaller than PNG, and read by every browser.
#pragma once

#include <cstdint>
#include <vector>

#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

// The longest side of a WebP file, pixels: what its format can say.
inline constexpr int most_webp_side = 16383;

// Every pixel comes back as it was. The same picture always gives the same bytes. Throws Problem (other) for
// an empty picture and for one with a side longer than most_webp_side.
std::vector<std::uint8_t> encode_webp(const Image<Rgb8>& picture);
std::vector<std::uint8_t> encode_webp(const Image<std::uint8_t>& grey);
// Crisp, with the lowest bits given up where the picture is busy.
std::vector<std::uint8_t> encode_webp_with_marks(const Image<Rgb8>& picture);
// For looking at only: `quality` 0..100 as libwebp counts it.
std::vector<std::uint8_t> encode_webp_for_show(const Image<Rgb8>& picture, float quality);

}  // namespace powderplan
