#include "raster/picture_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <fstream>
#include <system_error>

#include "problem.h"

namespace powderplan {
namespace {

constexpr std::size_t head_size = 132;
constexpr const char* readable_kinds = "give a PNG, JPEG, TIFF, WebP, BMP or PNM picture";
constexpr const char* fetch_again = "copy or export the picture again";

struct Signature {
  std::size_t at;
  std::string_view text;
  Recognised meaning;
};

using namespace std::string_view_literals;

// First match wins. Signatures as registered with IANA or given in the formats' own specifications.
constexpr std::array signatures{
    Signature{0, "\x89PNG"sv, {FileKind::png, "a PNG picture"}},
    Signature{0, "\xff\xd8\xff"sv, {FileKind::jpeg, "a JPEG picture"}},
    Signature{0, "II*\0"sv, {FileKind::tiff, "a TIFF picture"}},
    Signature{0, "MM\0*"sv, {FileKind::tiff, "a TIFF picture"}},
    Signature{0, "II+\0"sv, {FileKind::tiff, "a TIFF picture"}},
    Signature{0, "MM\0+"sv, {FileKind::tiff, "a TIFF picture"}},
    Signature{8, "WEBP"sv, {FileKind::webp, "a WebP picture"}},
    Signature{0, "GIF8"sv, {FileKind::other_picture, "a GIF picture"}},
    Signature{4, "ftypheic"sv, {FileKind::other_picture, "a HEIC picture"}},
    Signature{4, "ftypheix"sv, {FileKind::other_picture, "a HEIC picture"}},
    Signature{4, "ftypmif1"sv, {FileKind::other_picture, "a HEIC picture"}},
    Signature{4, "ftypavif"sv, {FileKind::other_picture, "an AVIF picture"}},
    Signature{4, "ftypcrx"sv, {FileKind::other_picture, "a camera raw picture"}},
    Signature{4, "ftyp"sv, {FileKind::no_picture, "a video"}},
    Signature{0, "FUJIFILMCCD-RAW"sv, {FileKind::other_picture, "a camera raw picture"}},
    Signature{0, "\0\0\0\x0cjP  "sv, {FileKind::jpeg2000, "a JPEG 2000 picture"}},
    Signature{0, "\xff\x4f\xff\x51"sv, {FileKind::jpeg2000, "a JPEG 2000 picture"}},
    Signature{0, "\0\0\0\x0cJXL "sv, {FileKind::other_picture, "a JPEG XL picture"}},
    Signature{0, "\xff\x0a"sv, {FileKind::other_picture, "a JPEG XL picture"}},
    Signature{0, "\x76\x2f\x31\x01"sv, {FileKind::openexr, "an OpenEXR picture"}},
    Signature{0, "#?RADIANCE"sv, {FileKind::radiance, "a Radiance HDR picture"}},
    Signature{0, "#?RGBE"sv, {FileKind::radiance, "a Radiance HDR picture"}},
    Signature{0, "PF\n"sv, {FileKind::pfm, "a PFM picture"}},
    Signature{0, "Pf\n"sv, {FileKind::pfm, "a PFM picture"}},
    Signature{0, "P7\n"sv, {FileKind::pam, "a PAM picture"}},
    Signature{0, "\x59\xa6\x6a\x95"sv, {FileKind::sun_raster, "a Sun raster picture"}},
    Signature{128, "DICM"sv, {FileKind::other_picture, "a DICOM picture"}},
    Signature{0, "NITF"sv, {FileKind::other_picture, "a NITF picture"}},
    Signature{0, "8BPS"sv, {FileKind::other_picture, "a PSD picture"}},
    Signature{0, "gimp xcf"sv, {FileKind::other_picture, "an XCF picture"}},
    Signature{0, "\0\0\1\0"sv, {FileKind::other_picture, "an ICO picture"}},
    Signature{0, "<svg"sv, {FileKind::other_picture, "an SVG drawing"}},
    Signature{0, "%PDF"sv, {FileKind::no_picture, "a PDF document"}},
    Signature{0, "PK\3\4"sv, {FileKind::no_picture, "a ZIP archive"}},
    Signature{0, "<?xml"sv, {FileKind::no_picture, "XML"}},
};

bool is_space(std::uint8_t c) {
  return c == ' ' || (c >= '\t' && c <= '\r');
}

// "BM" alone begins many texts: the size of the second header must be likely.
bool looks_like_bmp(Bytes head) {
  if (!has_text(head, 0, "BM") || head.size() < 18)
    return false;
  const std::uint32_t size = little_endian_32(head, 14);
  return size == 12 || (size >= 36 && size <= 1024);
}

bool looks_like_pnm(Bytes head) {
  return head.size() > 2 && head[0] == 'P' && head[1] >= '1' && head[1] <= '6' && is_space(head[2]);
}

// Bytes above 127 may be UTF-8.
bool looks_like_text(Bytes head) {
  return !head.empty() &&
         std::ranges::all_of(head, [](std::uint8_t c) { return is_space(c) || (c >= 0x20 && c != 0x7f); });
}

std::string error_text(int code) {
  return std::generic_category().message(code);
}

void check_is_file(const std::filesystem::path& path) {
  std::error_code error;
  const auto status = std::filesystem::status(path, error);
  if (status.type() == std::filesystem::file_type::not_found)
    refuse(path, "no such file", "check the name and the folder");
  if (error)
    refuse(path, fmt::format("cannot be read: {}", error.message()), "check the name and its permissions");
  if (std::filesystem::is_directory(status))
    refuse(path, "is a folder, not a picture", "name one picture in it");
  if (!std::filesystem::is_regular_file(status))
    refuse(path, "is a device or a pipe, not a file", "save the picture to a file first");
}

std::vector<std::uint8_t> read_up_to(std::ifstream& in, std::size_t size) {
  std::vector<std::uint8_t> bytes(size);
  in.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(size));
  bytes.resize(static_cast<std::size_t>(in.gcount()));
  return bytes;
}

}  // namespace

bool has_text(Bytes bytes, std::size_t at, std::string_view text) {
  return bytes.size() >= at + text.size() &&
         std::equal(text.begin(), text.end(), bytes.begin() + static_cast<std::ptrdiff_t>(at),
                    [](char a, std::uint8_t b) { return static_cast<std::uint8_t>(a) == b; });
}

Recognised recognise(Bytes head) {
  for (const Signature& signature : signatures) {
    if (has_text(head, signature.at, signature.text))
      return signature.meaning;
  }
  if (looks_like_bmp(head))
    return {FileKind::bmp, "a BMP picture"};
  if (looks_like_pnm(head))
    return {FileKind::pnm, "a PNM picture"};
  if (looks_like_text(head))
    return {FileKind::no_picture, "text"};
  return {};
}

PictureFile load_picture_file(const std::filesystem::path& path) {
  check_is_file(path);
  errno = 0;
  std::ifstream in(path, std::ios::binary);
  if (!in)
    refuse(path, fmt::format("cannot be opened: {}", error_text(errno)), "check the file's permissions");
  const auto head = read_up_to(in, head_size);
  if (head.empty())
    refuse(path, "is empty", fetch_again);
  const Recognised found = recognise(head);
  if (found.kind == FileKind::other_picture)
    refuse_kind(path, found.looks_like);
  if (found.kind == FileKind::no_picture && found.looks_like.empty())
    refuse(path, "is not a picture", readable_kinds);
  if (found.kind == FileKind::no_picture)
    refuse(path, fmt::format("is not a picture; it looks like {}", found.looks_like), readable_kinds);
  const std::uintmax_t size = std::filesystem::file_size(path);
  if (size > most_picture_bytes)
    refuse(path,
           fmt::format("is {:.1f} GB; the cap is {:.1f}", static_cast<double>(size) / 1e9,
                       static_cast<double>(most_picture_bytes) / 1e9),
           "scale the picture down, or save it as PNG or JPEG");
  in.clear();
  in.seekg(0);
  PictureFile file{path, found.kind, read_up_to(in, static_cast<std::size_t>(size))};
  if (in.bad() || file.bytes.size() < head.size())
    refuse(path, "cannot be read to its end", "check the disk and copy the picture again");
  return file;
}

void refuse(const std::filesystem::path& path, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::input, path.string(), std::move(wrong), std::move(remedy));
}

void refuse_kind(const std::filesystem::path& path, std::string_view is) {
  refuse(path, fmt::format("is {}, a kind that cannot be read", is), "save it as PNG, TIFF or JPEG");
}

void refuse_cut_short(const std::filesystem::path& path) {
  refuse(path, "is cut short: part of the picture is missing", fetch_again);
}

void refuse_damaged(const std::filesystem::path& path, std::string_view detail) {
  refuse(path, detail.empty() ? "is damaged" : fmt::format("is damaged ({})", detail), fetch_again);
}

void refuse_given_up(const std::filesystem::path& path) {
  refuse(path, "is damaged, cut short or of a rare variety", "export it again as PNG, TIFF or JPEG");
}

void check_size(const std::filesystem::path& path, std::uint64_t width, std::uint64_t height,
                const PictureLimits& limits) {
  if (width == 0 || height == 0)
    refuse(path, fmt::format("has no pixels: it is {} x {}", width, height), fetch_again);
  if (width > limits.most_pixels / height) {
    const bool can_be_raised = width <= highest_cap / height;
    throw TooManyPixels(ProblemKind::input, path.string(),
                        fmt::format("is {} x {} pixels, {:.1f} megapixels; the cap is {:.1f}", width, height,
                                    static_cast<double>(width) * static_cast<double>(height) / 1e6,
                                    static_cast<double>(limits.most_pixels) / 1e6),
                        can_be_raised ? "scale the picture down, or raise the cap with --max-megapixels"
                                      : "scale the picture down");
  }
  if (std::max(width, height) > longest_edge)
    refuse(path, fmt::format("is {} x {} pixels; no edge may be longer than {}", width, height, longest_edge),
           "cut the picture to the part you need");
}

}  // namespace powderplan
