#include <webp/decode.h>

#include "raster/decoders.h"
#include "raster/exif_orientation.h"

namespace powderplan {
namespace {

constexpr std::size_t riff_header = 12, chunk_header = 8;

// The first chunk of this name in the RIFF file; empty when there is none.
Bytes chunk(Bytes file, std::string_view name) {
  std::size_t at = riff_header;
  while (at + chunk_header <= file.size()) {
    const std::size_t size = little_endian_32(file, at + 4);
    const std::size_t body = at + chunk_header;
    if (size > file.size() - body)
      return {};
    if (has_text(file, at, name))
      return file.subspan(body, size);
    at = body + size + size % 2;  // chunks begin on even bytes
  }
  return {};
}

}  // namespace

StoredPicture decode_webp(const PictureFile& file, const PictureLimits& limits) {
  const Bytes bytes = file.bytes;
  WebPBitstreamFeatures features;
  const VP8StatusCode status = WebPGetFeatures(bytes.data(), bytes.size(), &features);
  if (status == VP8_STATUS_NOT_ENOUGH_DATA)
    refuse_cut_short(file.path);
  if (status != VP8_STATUS_OK)
    refuse_damaged(file.path, "its header makes no sense");
  if (features.has_animation != 0)
    refuse(file.path, "is an animation", "save one picture of it as PNG");
  check_size(file.path, static_cast<std::uint64_t>(features.width),
             static_cast<std::uint64_t>(features.height), limits);
  if (bytes.size() - chunk_header < little_endian_32(bytes, 4))
    refuse_cut_short(file.path);

  StoredPicture picture;
  picture.width = features.width;
  picture.height = features.height;
  picture.model = ColourModel::rgb;
  picture.alpha = features.has_alpha != 0;
  picture.allocate();
  const auto decode = picture.alpha ? WebPDecodeRGBAInto : WebPDecodeRGBInto;
  if (decode(bytes.data(), bytes.size(), picture.samples.data(), picture.samples.size(),
             static_cast<int>(picture.row_bytes())) == nullptr)
    refuse_damaged(file.path, "its pixels cannot be decoded");
  const Bytes profile = chunk(bytes, "ICCP");
  picture.colour.icc.assign(profile.begin(), profile.end());
  take_orientation(picture, exif_orientation(chunk(bytes, "EXIF")));
  return picture;
}

}  // namespace powderplan
