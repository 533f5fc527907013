#include "raster/exif_orientation.h"

#include <fmt/format.h>
#include <libexif/exif-data.h>

#include <cstring>
#include <limits>
#include <memory>
#include <string_view>
#include <utility>

#include "parallel.h"

namespace powderplan {
namespace {

using namespace std::string_view_literals;
constexpr std::string_view prefix = "Exif\0\0"sv;

struct Unref {
  void operator()(ExifData* data) const { exif_data_unref(data); }
};

}  // namespace

int exif_orientation(Bytes exif) {
  std::vector<std::uint8_t> block;
  if (!has_text(exif, 0, prefix))
    block.assign(prefix.begin(), prefix.end());
  block.insert(block.end(), exif.begin(), exif.end());
  if (block.size() > std::numeric_limits<unsigned>::max())
    return 1;
  const std::unique_ptr<ExifData, Unref> data(
      exif_data_new_from_data(block.data(), static_cast<unsigned>(block.size())));
  if (!data)
    return 1;
  const ExifEntry* entry = exif_content_get_entry(data->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION);
  if (entry == nullptr || entry->format != EXIF_FORMAT_SHORT || entry->size < 2)
    return 1;
  return exif_get_short(entry->data, exif_data_get_byte_order(data.get()));
}

void take_orientation(StoredPicture& picture, int stated) {
  const bool known = stated >= 1 && stated <= 8;
  picture.orientation = known ? stated : 1;
  if (!known && stated != 0)  // which some cameras write for "not known"
    picture.notes.push_back(
        fmt::format("its orientation mark (EXIF) is {}, which means nothing: taken as it lies", stated));
}

StoredPicture upright(StoredPicture picture) {
  const int orientation = std::exchange(picture.orientation, 1);
  if (orientation <= 1 || orientation > 8)
    return picture;
  const int w = picture.width, h = picture.height;
  const bool on_its_side = orientation >= 5;
  // 2, 3, 7, 8 begin at the right edge; 3, 4, 6, 7 at the bottom.
  const bool from_right = orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8;
  const bool from_bottom = orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7;
  const std::vector<std::uint8_t> stored = std::move(picture.samples);
  const std::size_t pixel = picture.pixel_bytes(), row = picture.row_bytes();
  if (on_its_side)
    std::swap(picture.width, picture.height);
  picture.samples = {};
  picture.allocate();
  for_each_row_band(picture.height, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      std::uint8_t* out = picture.samples.data() + static_cast<std::size_t>(y) * picture.row_bytes();
      for (int x = 0; x < picture.width; ++x, out += pixel) {
        const int across = on_its_side ? y : x, down = on_its_side ? x : y;
        std::memcpy(out,
                    stored.data() + static_cast<std::size_t>(from_bottom ? h - 1 - down : down) * row +
                        static_cast<std::size_t>(from_right ? w - 1 - across : across) * pixel,
                    pixel);
      }
    }
  });
  return picture;
}

}  // namespace powderplan
