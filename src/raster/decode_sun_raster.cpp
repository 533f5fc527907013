// Sun raster files, as the header file rasterfile.h of SunOS defines them.
#include <algorithm>

#include "raster/decoders.h"

namespace powderplan {
namespace {

constexpr std::size_t header_size = 32;
constexpr std::uint32_t byte_encoded = 2, rgb_ordered = 3;  // types; 0 and 1 are plain
constexpr std::uint32_t rgb_map = 1, raw_map = 2;           // 0 is none

struct Header {
  std::uint32_t width = 0, height = 0, depth = 0, type = 0, map_type = 0, map_size = 0;
  [[nodiscard]] bool has_map() const { return map_type == rgb_map && map_size > 0 && depth <= 8; }
  // Rows are padded to 16 bits.
  [[nodiscard]] std::size_t row_bytes() const { return (std::size_t{width} * depth + 15) / 16 * 2; }
};

Header read_header(const PictureFile& file, const PictureLimits& limits) {
  const Bytes b = file.bytes;
  if (b.size() < header_size)
    refuse_cut_short(file.path);
  const Header h{big_endian_32(b, 4),  big_endian_32(b, 8),  big_endian_32(b, 12),
                 big_endian_32(b, 20), big_endian_32(b, 24), big_endian_32(b, 28)};
  check_size(file.path, h.width, h.height, limits);
  const bool depth = h.depth == 1 || h.depth == 8 || h.depth == 24 || h.depth == 32;
  if (!depth || h.type > rgb_ordered || h.map_type > raw_map)
    refuse_kind(file.path, "an unusual Sun raster picture");
  if (h.map_type == rgb_map && h.map_size % 3 != 0)
    refuse_damaged(file.path, "its colour map is not of whole colours");
  if (h.map_size > b.size() - header_size)
    refuse_cut_short(file.path);
  return h;
}

// 0x80 n v stands for n + 1 times v, 0x80 0 for one 0x80; all else for itself.
std::vector<std::uint8_t> unpack(const PictureFile& file, Bytes packed, std::size_t size) {
  std::vector<std::uint8_t> out;
  out.reserve(std::min(size, packed.size() * 86));  // three bytes make 256
  constexpr std::uint8_t flag = 0x80;
  for (std::size_t at = 0; out.size() < size;) {
    const std::size_t needed = at < packed.size() && packed[at] == flag
                                   ? (at + 1 < packed.size() && packed[at + 1] == 0 ? 2 : 3)
                                   : 1;
    if (needed > packed.size() - at)
      refuse_cut_short(file.path);
    if (needed == 3)
      out.insert(out.end(), std::min<std::size_t>(packed[at + 1] + std::size_t{1}, size - out.size()),
                 packed[at + 2]);
    else
      out.push_back(packed[at]);
    at += needed;
  }
  return out;
}

// Without a map, 1 is black in a picture of 1 bit.
void read_row(const PictureFile& file, const Header& h, Bytes row, std::uint8_t* out) {
  const std::size_t colours = h.map_size / 3;
  for (std::size_t x = 0; x < h.width; ++x) {
    if (h.depth >= 24) {
      const std::size_t size = h.depth / 8, first = x * size + (size - 3);
      const bool rgb = h.type == rgb_ordered;
      for (std::size_t i = 0; i < 3; ++i)
        *out++ = row[first + (rgb ? i : 2 - i)];
      continue;
    }
    const std::size_t value = h.depth == 8 ? row[x] : row[x / 8] >> (7 - x % 8) & 1;
    if (!h.has_map()) {
      *out++ = static_cast<std::uint8_t>(h.depth == 8 ? value : value == 0 ? 255 : 0);
      continue;
    }
    if (value >= colours)
      refuse_damaged(file.path, "a colour is missing in its map");
    for (std::size_t i = 0; i < 3; ++i)
      *out++ = file.bytes[header_size + i * colours + value];
  }
}

}  // namespace

StoredPicture decode_sun_raster(const PictureFile& file, const PictureLimits& limits) {
  const Header h = read_header(file, limits);
  const std::size_t needed = h.row_bytes() * h.height;
  Bytes rows = Bytes(file.bytes).subspan(header_size + h.map_size);
  std::vector<std::uint8_t> unpacked;
  if (h.type == byte_encoded)
    rows = unpacked = unpack(file, rows, needed);
  if (rows.size() < needed)
    refuse_cut_short(file.path);

  StoredPicture picture;
  picture.width = static_cast<int>(h.width);
  picture.height = static_cast<int>(h.height);
  picture.model = h.depth >= 24 || h.has_map() ? ColourModel::rgb : ColourModel::grey;
  picture.allocate();
  for (std::size_t y = 0; y < h.height; ++y)
    read_row(file, h, rows.subspan(y * h.row_bytes(), h.row_bytes()),
             picture.samples.data() + y * picture.row_bytes());
  return picture;
}

}  // namespace powderplan
