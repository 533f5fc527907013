// Radiance pictures (G. Ward, "The RADIANCE picture file format", in the program's own documentation): lines
// of variables, a blank line, the line of the resolution, pixels.
#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <string_view>
#include <vector>

#include "raster/decoders.h"

namespace powderplan {
namespace {

class Lines {
 public:
  explicit Lines(const PictureFile& file)
      : path_(file.path), rest_(reinterpret_cast<const char*>(file.bytes.data()), file.bytes.size()) {}
  std::string_view next() {
    const std::size_t end = rest_.find('\n');
    if (end == std::string_view::npos)
      refuse_cut_short(path_);
    const std::string_view line = rest_.substr(0, end);
    rest_.remove_prefix(end + 1);
    return line;
  }

  // What lies behind the lines so far.
  [[nodiscard]] Bytes rest() const {
    return {reinterpret_cast<const std::uint8_t*>(rest_.data()), rest_.size()};
  }

 private:
  const std::filesystem::path& path_;
  std::string_view rest_;
};

// Takes a number off the front.
template <class T>
bool take_number(std::string_view& text, T& value) {
  const std::size_t begin = text.find_first_not_of(' ');
  if (begin == std::string_view::npos)
    return false;
  const auto [end, error] = std::from_chars(text.data() + begin, text.data() + text.size(), value);
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return error == std::errc();
}

// Rx Ry Gx Gy Bx By Wx Wy there; white first here.
void take_primaries(std::string_view text, ColourTag& colour) {
  std::array<double, 8> xy{};
  for (std::size_t i = 0; i < xy.size(); ++i) {
    if (!take_number(text, xy[(i + 2) % xy.size()]))
      return;
  }
  colour.chromaticities = xy;
}

void check_format(const PictureFile& file, std::string_view format) {
  if (format == "32-bit_rle_xyze")
    refuse_kind(file.path, "a Radiance HDR picture of XYZ samples");
  if (format != "32-bit_rle_rgbe")
    refuse_damaged(file.path, "its format is not RGBE");
}

// Three mantissas with one exponent, as Ward (1991), "Real pixels", in Graphics Gems II, defines them.
constexpr int exponent_bias = 128 + 8;
using Rgbe = std::array<std::uint8_t, 4>;

void store(const Rgbe& from, std::uint8_t* to) {
  const float unit = from[3] == 0 ? 0.0f : std::ldexp(1.0f, from[3] - exponent_bias);
  for (std::size_t c = 0; c < 3; ++c) {
    const float value = static_cast<float>(from[c]) * unit;
    std::memcpy(to + c * sizeof value, &value, sizeof value);
  }
}

// The pixels, row after row: plain, or each of the four bytes of a whole row packed by itself.
class Pixels {
 public:
  Pixels(const PictureFile& file, Bytes bytes) : path_(file.path), bytes_(bytes) {}

  void read_row(std::vector<Rgbe>& row) {
    if (plain_ || !packable(row.size()) || !begins_packed(row.size())) {
      // Once plain, plain to the end: a packed row cannot be told from pixels that look like one.
      plain_ = true;
      for (Rgbe& pixel : row)
        for (std::uint8_t& value : pixel)
          value = next();
      return;
    }
    at_ += 4;
    for (std::size_t part = 0; part < 4; ++part)
      for (std::size_t x = 0; x < row.size();)
        read_run(row, part, x);
  }

 private:
  static bool packable(std::size_t width) { return width >= 8 && width <= 0x7fff; }

  // 2, 2 and the width.
  [[nodiscard]] bool begins_packed(std::size_t width) const {
    if (bytes_.size() - at_ < 4)
      refuse_given_up(path_);
    if (bytes_[at_] != 2 || bytes_[at_ + 1] != 2 || (bytes_[at_ + 2] & 0x80) != 0)
      return false;
    if (big_endian_16(bytes_, at_ + 2) != width)
      refuse_given_up(path_);
    return true;
  }

  // Above 128 so many less 128 of one value, else so many values.
  void read_run(std::vector<Rgbe>& row, std::size_t part, std::size_t& x) {
    const std::uint8_t code = next();
    const bool same = code > 128;
    const std::size_t count = same ? code - 128u : code;
    if (count == 0 || count > row.size() - x)
      refuse_given_up(path_);
    const std::uint8_t value = same ? next() : std::uint8_t{0};
    for (const std::size_t end = x + count; x < end; ++x)
      row[x][part] = same ? value : next();
  }

  std::uint8_t next() {
    if (at_ == bytes_.size())
      refuse_given_up(path_);
    return bytes_[at_++];
  }

  const std::filesystem::path& path_;
  Bytes bytes_;
  std::size_t at_ = 0;
  bool plain_ = false;
};

}  // namespace

StoredPicture decode_radiance(const PictureFile& file, const PictureLimits& limits) {
  StoredPicture picture;
  Lines lines(file);
  std::string_view format;
  constexpr std::string_view format_key = "FORMAT=", primaries_key = "PRIMARIES=";
  for (std::string_view line = lines.next(); !line.empty(); line = lines.next()) {
    if (line.starts_with(format_key))
      format = line.substr(format_key.size());
    else if (line.starts_with(primaries_key))
      take_primaries(line.substr(primaries_key.size()), picture.colour);
  }
  check_format(file, format);
  std::string_view size = lines.next();
  if (size.starts_with("+Y ") || size.starts_with("+X ") || size.starts_with("-X ") ||
      size.find("-X ") != std::string_view::npos)
    refuse_kind(file.path, "a Radiance HDR picture stored sideways or upside down");
  std::uint32_t width = 0, height = 0;
  bool read = size.starts_with("-Y ");
  if (read) {
    size.remove_prefix(3);
    read = take_number(size, height) && size.starts_with(" +X ");
  }
  if (read) {
    size.remove_prefix(4);
    read = take_number(size, width);
  }
  if (!read)
    refuse_damaged(file.path, "its width and height are missing");
  check_size(file.path, width, height, limits);

  picture.width = static_cast<int>(width);
  picture.height = static_cast<int>(height);
  picture.kind = SampleKind::real;
  picture.allocate();
  Pixels pixels(file, lines.rest());
  std::vector<Rgbe> row(width);
  for (std::uint32_t y = 0; y < height; ++y) {
    pixels.read_row(row);
    std::uint8_t* to = picture.samples.data() + std::size_t{y} * picture.row_bytes();
    for (std::size_t x = 0; x < row.size(); ++x)
      store(row[x], to + x * 3 * sizeof(float));
  }
  cut_to_white(picture);
  return picture;
}

}  // namespace powderplan
