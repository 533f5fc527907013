// The bytes of a picture file, what kind of file they are, and how a bad one is refused.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "problem.h"
#include "raster/picture.h"

namespace powderplan {

// The highest that PictureLimits::most_pixels may be set to.
inline constexpr std::uint64_t highest_cap = 2'000'000'000;

using Bytes = std::span<const std::uint8_t>;

enum class FileKind {
  png,
  jpeg,
  tiff,
  webp,
  bmp,
  pnm,
  pam,
  pfm,
  sun_raster,
  jpeg2000,
  radiance,
  openexr,
  other_picture,  // known by name, but no decoder
  no_picture
};

struct Recognised {
  FileKind kind = FileKind::no_picture;
  // With its article, e.g. "a PNG picture", "text"; empty when nothing is known.
  std::string_view looks_like;
};

// From the first bytes alone (132 are enough); the name of the file plays no part.
Recognised recognise(Bytes head);

struct PictureFile {
  std::filesystem::path path;
  FileKind kind = FileKind::no_picture;
  std::vector<std::uint8_t> bytes;
};

// Reads a file of a kind that can be decoded. Throws Problem (input) for a file that is missing, a
// folder, empty, unreadable, larger than most_picture_bytes, or of any other kind; a file of another kind is
// not read whole.
inline constexpr std::uintmax_t most_picture_bytes = 1'000'000'000;
PictureFile load_picture_file(const std::filesystem::path& path);

[[noreturn]] void refuse(const std::filesystem::path& path, std::string wrong, std::string remedy);
// A picture whose kind is known and cannot be read: `is` goes on "is ...".
[[noreturn]] void refuse_kind(const std::filesystem::path& path, std::string_view is);
[[noreturn]] void refuse_cut_short(const std::filesystem::path& path);
// `detail` is the decoder's own complaint, if it has one.
[[noreturn]] void refuse_damaged(const std::filesystem::path& path, std::string_view detail);
// What the format's library gives up on without a word that would help.
[[noreturn]] void refuse_given_up(const std::filesystem::path& path);

// What check_size throws for too many pixels; its remedy names the flag of `plan` that raises the limit.
class TooManyPixels : public Problem {
  using Problem::Problem;
};

// Before anything is allocated: throws Problem (input) for no pixels, for more pixels than the limit, and
// for an edge above longest_edge.
void check_size(const std::filesystem::path& path, std::uint64_t width, std::uint64_t height,
                const PictureLimits& limits);
inline constexpr std::uint64_t longest_edge = 1u << 20;

// Numbers inside a file; the caller has checked that `at` leaves enough bytes.
constexpr std::uint32_t big_endian_32(Bytes b, std::size_t at) {
  return std::uint32_t{b[at]} << 24 | std::uint32_t{b[at + 1]} << 16 | std::uint32_t{b[at + 2]} << 8 |
         std::uint32_t{b[at + 3]};
}
constexpr std::uint32_t little_endian_32(Bytes b, std::size_t at) {
  return std::uint32_t{b[at + 3]} << 24 | std::uint32_t{b[at + 2]} << 16 | std::uint32_t{b[at + 1]} << 8 |
         std::uint32_t{b[at]};
}
constexpr std::uint32_t big_endian_16(Bytes b, std::size_t at) {
  return std::uint32_t{b[at]} << 8 | std::uint32_t{b[at + 1]};
}
constexpr std::uint32_t little_endian_16(Bytes b, std::size_t at) {
  return std::uint32_t{b[at + 1]} << 8 | std::uint32_t{b[at]};
}
// True when `text` stands at `at`.
bool has_text(Bytes bytes, std::size_t at, std::string_view text);

}  // namespace powderplan
