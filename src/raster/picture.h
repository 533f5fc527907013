// Pictures from files, brought to one known colour space.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "raster/image.h"

namespace powderplan {

// Linear light, sRGB primaries, not multiplied by alpha; values may lie outside 0..1 where the file's
// own colour space is larger than sRGB. Alpha 0 = bare sheet, 1 = picture.
struct LinearPixel {
  float r = 0, g = 0, b = 0, alpha = 1;
};

struct Picture {
  Image<LinearPixel> pixels;      // upright: the EXIF orientation has been applied
  std::vector<std::string> notes; // what the user should know, e.g. "no colour profile: taken as sRGB"
};

struct PictureLimits {
  // More decoded pixels than this are refused before they are decoded.
  std::uint64_t most_pixels = 200'000'000;
};

// Any still picture that OpenCV can decode, and CMYK JPEG. The embedded ICC profile is honoured;
// without one the picture is taken as sRGB (and PNG's gAMA/cHRM are honoured where sRGB/iCCP are absent).
// Throws Problem (input) with the file's name as its place.
Picture read_picture(const std::filesystem::path& file, const PictureLimits& limits = {});

}  // namespace powderplan
