// The colour profile in a PNG file as its bytes, also where libpng would not have it.
#pragma once

#include <cstdint>
#include <vector>

#include "raster/picture_file.h"

namespace powderplan {

// Of a whole iCCP chunk, from its length to its CRC (PNG third edition, 11.3.2.3): what its name is followed
// by, inflated. Empty when the CRC does not match, the name or the compressed data make no sense, or the
// profile is longer than most_profile_bytes.
std::vector<std::uint8_t> unpacked_png_profile(Bytes chunk);
inline constexpr std::size_t most_profile_bytes = 8'000'000;  // as much as libpng takes

}  // namespace powderplan
