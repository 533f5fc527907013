// One decoder for each kind of file. All take the whole file and give its samples as stored, with its
// colour tag and orientation; all check the size that the header states before they allocate, and
// throw Problem (input) for a file that is cut short or damaged.
//
// The format libraries are called directly rather than through OpenCV's picture files: those print to stderr
// when a file is bad, hide libjpeg's warning that half of the picture is missing, drop profiles,
// chromaticities and the difference between the two kinds of alpha, and load a hundred libraries (maps,
// medical pictures, databases). Simple kinds that it (4.6) misreads are read here: RLE bitmaps with skips,
// PAM of two values or with a largest value below 255, grey Sun rasters (all black) and compressed ones.
#pragma once

#include "raster/picture_file.h"
#include "raster/stored_picture.h"

namespace powderplan {

// libpng: all colour types and depths, tRNS as alpha; of an animation the default picture.
StoredPicture decode_png(const PictureFile& file, const PictureLimits& limits);
// libjpeg: baseline and progressive; grey, YCbCr, RGB, CMYK and YCCK. Refused when a scan is incomplete.
StoredPicture decode_jpeg(const PictureFile& file, const PictureLimits& limits);
// libtiff: the first page; 8 and 16 bits and 32-bit float kept as they are, 9 to 15 and 32 bits brought to
// 16, 16 and 64-bit float to 32; anything rarer through libtiff's own conversion to 8-bit RGB.
StoredPicture decode_tiff(const PictureFile& file, const PictureLimits& limits);
// libwebp: lossy and lossless. Animations are refused.
StoredPicture decode_webp(const PictureFile& file, const PictureLimits& limits);
// Windows bitmaps of 1 to 32 bits, RLE4 and RLE8, with the profile of a version 5 header.
StoredPicture decode_bmp(const PictureFile& file, const PictureLimits& limits);
// PBM, PGM, PPM, plain and raw (P1 to P6), any maximum value.
StoredPicture decode_pnm(const PictureFile& file, const PictureLimits& limits);
// P7 with grey or RGB, each with or without alpha.
StoredPicture decode_pam(const PictureFile& file, const PictureLimits& limits);
// PF and Pf, both byte orders; samples are divided by the scale of the header.
StoredPicture decode_pfm(const PictureFile& file, const PictureLimits& limits);
// 1, 8, 24 and 32 bits, with or without a colour map, plain, RGB-ordered or byte-encoded. The fourth byte of
// 32 bits is padding.
StoredPicture decode_sun_raster(const PictureFile& file, const PictureLimits& limits);
// OpenJPEG: JP2 files and bare codestreams of 8 to 16 bits; grey, RGB, sYCC, colour palettes; an embedded ICC
// profile. Refused when subsampled, signed, CMYK or Lab.
StoredPicture decode_jpeg2000(const PictureFile& file, const PictureLimits& limits);
// RGBE, rows from the top, new run lengths or none.
StoredPicture decode_radiance(const PictureFile& file, const PictureLimits& limits);
// OpenEXR: the first part's channels R, G, B, A, or Y, A; alpha is divided out of the colours.
StoredPicture decode_openexr(const PictureFile& file, const PictureLimits& limits);

}  // namespace powderplan
