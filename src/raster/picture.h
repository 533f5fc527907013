// Pictures from files, brought to one known colour space.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "raster/image.h"
#include "raster/light_rows.h"

namespace powderplan {

struct Picture {
  Image<LinearPixel> pixels;       // upright: the EXIF orientation has been applied
  std::vector<std::string> notes;  // what the user should know, e.g. "no colour profile: taken as sRGB"
};

struct PictureLimits {
  // More pixels than this are refused by what the header says, before anything is decoded.
  std::uint64_t most_pixels = 200'000'000;
};

// PNG, JPEG (CMYK too), TIFF, WebP, BMP (RLE too), PNM, PAM, PFM, Sun raster, JPEG 2000, Radiance HDR and
// OpenEXR, told by their content and not by their name. GIF, HEIC, AVIF, JPEG XL, PSD, XCF, ICO, SVG, DICOM,
// NITF and camera raw are refused by name, and so is what a kind allows but nobody here can decode.
//
// An embedded ICC profile is honoured, then PNG's sRGB, then its gAMA and cHRM; otherwise the picture is
// taken as sRGB. Float samples (TIFF, PFM, Radiance, OpenEXR) are linear light with the primaries that the
// file states, otherwise those of sRGB; PFM, Radiance and OpenEXR are cut off at white (1.0). What was
// assumed or cut stands in the notes. A file that is cut short or damaged is refused, never completed with
// grey, and so are NaN and infinite pixels. Throws Problem (input) with the file's name as its place.
Picture read_picture(const std::filesystem::path& file, const PictureLimits& limits = {});

// The same, but only decoded: linear light is made row by row when it is asked for, and pixels that are not
// numbers are refused then.
LightRows open_picture(const std::filesystem::path& file, const PictureLimits& limits,
                       std::vector<std::string>& notes);

}  // namespace powderplan
