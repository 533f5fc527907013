#include "raster/picture.h"

#include <fmt/format.h>

#include <cmath>
#include <new>

#include "parallel.h"
#include "problem.h"
#include "raster/decoders.h"
#include "raster/exif_orientation.h"
#include "raster/to_linear.h"

namespace powderplan {
namespace {

StoredPicture decode(const PictureFile& file, const PictureLimits& limits) {
  switch (file.kind) {
    case FileKind::png:
      return decode_png(file, limits);
    case FileKind::jpeg:
      return decode_jpeg(file, limits);
    case FileKind::tiff:
      return decode_tiff(file, limits);
    case FileKind::webp:
      return decode_webp(file, limits);
    case FileKind::bmp:
      return decode_bmp(file, limits);
    case FileKind::pnm:
      return decode_pnm(file, limits);
    case FileKind::pam:
      return decode_pam(file, limits);
    case FileKind::pfm:
      return decode_pfm(file, limits);
    case FileKind::sun_raster:
      return decode_sun_raster(file, limits);
    case FileKind::jpeg2000:
      return decode_jpeg2000(file, limits);
    case FileKind::radiance:
      return decode_radiance(file, limits);
    case FileKind::openexr:
      return decode_openexr(file, limits);
    case FileKind::other_picture:
    case FileKind::no_picture:
      break;
  }
  throw Problem(ProblemKind::other, file.path.string(), "was opened but has no decoder",
                "report this as a fault");
}

// CMYK numbers mean nothing without their profile: a damaged one must not pass for "no profile".
void refuse_cmyk_with_bad_profile(const PictureFile& file, const StoredPicture& stored,
                                  const std::vector<std::string>& notes) {
  const bool promised = !stored.colour.icc.empty() || stored.colour.icc_damaged;
  if (stored.model == ColourModel::cmyk && promised && !notes.empty())
    refuse(file.path, "is CMYK and its colour profile cannot be used",
           "convert it to sRGB in the program that made it");
}

// Float files and odd profiles can hold values that no later step could survive.
void check_values(const PictureFile& file, const Image<LinearPixel>& pixels) {
  for_each_row_band(pixels.height(), [&](int begin, int end) {
    for (const LinearPixel *p = pixels.row(begin), *last = pixels.row(end - 1) + pixels.width(); p != last;
         ++p) {
      if (!std::isfinite(p->r + p->g + p->b + p->alpha))
        refuse(file.path, "holds pixels that are not numbers (NaN or infinite)",
               "export it as 16-bit PNG or TIFF");
    }
  });
}

}  // namespace

Picture read_picture(const std::filesystem::path& path, const PictureLimits& limits) {
  try {
    const PictureFile file = load_picture_file(path);
    const StoredPicture stored = decode(file, limits);
    Picture picture;
    Image<LinearPixel> pixels = to_linear(stored, picture.notes);
    refuse_cmyk_with_bad_profile(file, stored, picture.notes);
    check_values(file, pixels);
    picture.pixels = upright(std::move(pixels), stored.orientation);
    picture.notes.insert(picture.notes.end(), stored.notes.begin(), stored.notes.end());
    return picture;
  } catch (const std::bad_alloc&) {
    throw Problem(ProblemKind::input, path.string(), "does not fit into the memory of this computer",
                  "scale the picture down");
  }
}

}  // namespace powderplan
