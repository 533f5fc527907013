#include "raster/png_profile.h"

#include <zlib.h>

#include <algorithm>

namespace powderplan {

std::vector<std::uint8_t> unpacked_png_profile(Bytes chunk) {
  constexpr std::size_t head = 8, crc = 4, longest_name = 79;
  if (chunk.size() < head + crc)
    return {};
  const Bytes checked = chunk.subspan(4, chunk.size() - 4 - crc);
  if (crc32(0, checked.data(), static_cast<uInt>(checked.size())) != big_endian_32(chunk, chunk.size() - crc))
    return {};
  const Bytes data = checked.subspan(4);
  const auto name_end = static_cast<std::size_t>(std::find(data.begin(), data.end(), 0) - data.begin());
  if (name_end > longest_name || data.size() < name_end + 2 || data[name_end + 1] != 0)
    return {};
  const Bytes packed = data.subspan(name_end + 2);
  // Doubled until it fits: what it will be long is not known, and a few bytes can claim to be anything.
  for (std::size_t room = 4096;; room = std::min(2 * room, most_profile_bytes)) {
    std::vector<std::uint8_t> profile(room);
    uLongf size = room;
    const int ended = uncompress(profile.data(), &size, packed.data(), static_cast<uLong>(packed.size()));
    if (ended == Z_BUF_ERROR && room < most_profile_bytes)
      continue;
    if (ended != Z_OK)
      return {};
    profile.resize(size);
    return profile;
  }
}

}  // namespace powderplan
