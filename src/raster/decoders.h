// One decoder for each kind of file. All take the whole file and give its samples as stored, with its
// colour tag and orientation; all check the size that the header states before they allocate, and
// throw Problem (input) for a file that is cut short or damaged.
//
// The format libraries are called directly rather than through OpenCV, because OpenCV prints to
// stderr when a file is bad, hides libjpeg's warning that half of the picture is missing, and drops
// profiles, chromaticities and the difference between the two kinds of alpha.
#pragma once

#include "raster/picture_file.h"
#include "raster/stored_picture.h"

namespace powderplan {

// libpng: all colour types and depths, tRNS as alpha; of an animation the default picture.
StoredPicture decode_png(const PictureFile& file, const PictureLimits& limits);
// libjpeg: baseline and progressive; grey, YCbCr, RGB, CMYK and YCCK. Refused when a scan is incomplete.
StoredPicture decode_jpeg(const PictureFile& file, const PictureLimits& limits);
// libtiff: the first page; 8 and 16 bits and 32-bit float kept as they are, anything rarer through
// libtiff's own conversion to 8-bit RGB.
StoredPicture decode_tiff(const PictureFile& file, const PictureLimits& limits);
// libwebp: lossy and lossless. Animations are refused.
StoredPicture decode_webp(const PictureFile& file, const PictureLimits& limits);
// Uncompressed Windows bitmaps of 1 to 32 bits, with the profile of a version 5 header.
StoredPicture decode_bmp(const PictureFile& file, const PictureLimits& limits);
// PBM, PGM, PPM, plain and raw (P1 to P6), any maximum value.
StoredPicture decode_pnm(const PictureFile& file, const PictureLimits& limits);

}  // namespace powderplan
