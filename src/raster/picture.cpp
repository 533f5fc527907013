#include "raster/picture.h"

#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <new>

#include "problem.h"
#include "raster/decoders.h"
#include "raster/exif_orientation.h"
#include "raster/light_rows.h"
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
void check_values(const std::filesystem::path& file, const LinearPixel* begin, const LinearPixel* end) {
  for (const LinearPixel* p = begin; p != end; ++p) {
    if (!std::isfinite(p->r + p->g + p->b + p->alpha))
      refuse(file, "holds pixels that are not numbers (NaN or infinite)", "export it as 16-bit PNG or TIFF");
  }
}

// What the caller does with the picture may need too much memory as well.
template <class F>
auto within_memory(const std::filesystem::path& path, F&& work) {
  try {
    return work();
  } catch (const std::bad_alloc&) {
    throw Problem(ProblemKind::input, path.string(), "does not fit into the memory of this computer",
                  "scale the picture down");
  }
}

}  // namespace

LightRows open_picture(const std::filesystem::path& path, const PictureLimits& limits,
                       std::vector<std::string>& notes) {
  return within_memory(path, [&] {
    const PictureFile file = load_picture_file(path);
    const auto stored = std::make_shared<const StoredPicture>(upright(decode(file, limits)));
    std::vector<std::string> assumed;
    LightRows rows = to_linear(*stored, assumed);
    refuse_cmyk_with_bad_profile(file, *stored, assumed);
    notes.insert(notes.end(), assumed.begin(), assumed.end());
    notes.insert(notes.end(), stored->notes.begin(), stored->notes.end());
    rows.row = [stored, path, width = rows.width, row = std::move(rows.row)](int y, LinearPixel* out) {
      row(y, out);
      check_values(path, out, out + width);
    };
    return rows;
  });
}

Picture read_picture(const std::filesystem::path& path, const PictureLimits& limits) {
  return within_memory(path, [&] {
    Picture picture;
    picture.pixels = image_of(open_picture(path, limits, picture.notes));
    return picture;
  });
}

}  // namespace powderplan
