// Netpbm's PBM, PGM and PPM (P1 to P6), PAM and PFM, as their manual pages define them.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <optional>
#include <string>
#include <string_view>

#include "raster/decoders.h"

namespace powderplan {
namespace {

bool is_space(std::uint8_t c) {
  return c == ' ' || (c >= '\t' && c <= '\r');
}
bool is_digit(std::uint8_t c) {
  return c >= '0' && c <= '9';
}

// Reads numbers set apart by white space and comments.
class Scanner {
 public:
  Scanner(Bytes bytes, std::size_t at) : bytes_(bytes), at_(at) {}

  // Empty at the end of the file, or where no number below 10^9 stands.
  std::optional<std::uint32_t> number() {
    skip_blanks();
    std::uint32_t value = 0;
    const std::size_t begin = at_;
    while (at_ < bytes_.size() && is_digit(bytes_[at_]) && at_ - begin < 9)
      value = value * 10 + (bytes_[at_++] - std::uint32_t{'0'});
    return at_ > begin ? std::optional(value) : std::nullopt;
  }
  // Plain PBM may set its digits without anything between them.
  std::optional<std::uint32_t> digit() {
    skip_blanks();
    if (at_ >= bytes_.size() || !is_digit(bytes_[at_]))
      return std::nullopt;
    return bytes_[at_++] - std::uint32_t{'0'};
  }
  // What stands up to the next blank; empty at the end of the file.
  std::string_view word() {
    skip_blanks();
    const std::size_t begin = at_;
    while (at_ < bytes_.size() && !is_space(bytes_[at_]))
      ++at_;
    return text(begin);
  }
  // The rest of the line, with the blank before it.
  std::string_view rest_of_line() {
    const std::size_t begin = at_;
    while (at_ < bytes_.size() && bytes_[at_] != '\n')
      ++at_;
    return text(begin);
  }
  [[nodiscard]] bool at_end() const { return at_ >= bytes_.size(); }
  // One white space stands between the header and raw samples.
  [[nodiscard]] Bytes raw() const { return bytes_.subspan(std::min(at_ + 1, bytes_.size())); }

 private:
  [[nodiscard]] std::string_view text(std::size_t begin) const {
    return {reinterpret_cast<const char*>(bytes_.data()) + begin, at_ - begin};
  }
  void skip_blanks() {
    while (at_ < bytes_.size() && (is_space(bytes_[at_]) || bytes_[at_] == '#')) {
      if (bytes_[at_] == '#') {
        while (at_ < bytes_.size() && bytes_[at_] != '\n')
          ++at_;
      } else {
        ++at_;
      }
    }
  }
  Bytes bytes_;
  std::size_t at_;
};

struct Header {
  bool bitmap, raw;
  std::uint32_t most;  // the value of white
};

std::uint32_t read_number(const PictureFile& file, Scanner& scanner) {
  const auto value = scanner.number();
  if (!value && scanner.at_end())
    refuse_cut_short(file.path);
  if (!value)
    refuse_damaged(file.path, "a number is missing");
  return *value;
}

// Sample `i` of a picture on the scale 0..most, stored on the full scale of 8 or 16 bits.
void store(StoredPicture& picture, std::size_t i, std::uint32_t value, std::uint32_t most) {
  const std::uint64_t full = picture.kind == SampleKind::byte ? 255 : 65535;
  const std::uint64_t scaled = (std::uint64_t{std::min(value, most)} * full + most / 2) / most;
  if (picture.kind == SampleKind::byte) {
    picture.samples[i] = static_cast<std::uint8_t>(scaled);
  } else {
    const auto word = static_cast<std::uint16_t>(scaled);
    std::memcpy(picture.samples.data() + 2 * i, &word, 2);
  }
}

void read_plain(const PictureFile& file, Scanner& scanner, const Header& header, StoredPicture& picture) {
  const std::size_t count = picture.samples.size() / picture.sample_bytes();
  for (std::size_t i = 0; i < count; ++i) {
    const auto value = header.bitmap ? scanner.digit() : scanner.number();
    if (!value && scanner.at_end())
      refuse_cut_short(file.path);
    if (!value)
      refuse_damaged(file.path, "a number is missing");
    store(picture, i, header.bitmap ? 1 - std::min(*value, 1u) : *value, header.most);
  }
}

void read_bits(Bytes raw, StoredPicture& picture) {
  const std::size_t row = (static_cast<std::size_t>(picture.width) + 7) / 8;
  std::size_t i = 0;
  for (std::size_t y = 0; y < static_cast<std::size_t>(picture.height); ++y) {
    for (std::size_t x = 0; x < static_cast<std::size_t>(picture.width); ++x)
      picture.samples[i++] = (raw[y * row + x / 8] >> (7 - x % 8) & 1) != 0 ? 0 : 255;
  }
}

void read_raw(Bytes raw, const Header& header, StoredPicture& picture) {
  const std::size_t count = picture.samples.size() / picture.sample_bytes();
  for (std::size_t i = 0; i < count; ++i) {
    const std::uint32_t value = picture.kind == SampleKind::byte
                                    ? std::uint32_t{raw[i]}
                                    : std::uint32_t{raw[2 * i]} << 8 | std::uint32_t{raw[2 * i + 1]};
    store(picture, i, value, header.most);
  }
}

// What raw samples take, or the least that plain ones can take.
std::size_t least_bytes(const Header& header, const StoredPicture& picture) {
  const std::size_t height = static_cast<std::size_t>(picture.height);
  if (header.bitmap && header.raw)
    return (static_cast<std::size_t>(picture.width) + 7) / 8 * height;
  const std::size_t per_sample = header.raw ? picture.sample_bytes() : 1;
  return static_cast<std::size_t>(picture.width) * height * static_cast<std::size_t>(picture.channels()) *
         per_sample;
}

void check_most(const PictureFile& file, std::uint32_t most) {
  if (most < 1 || most > 65535)
    refuse_damaged(file.path, "its largest value is not between 1 and 65535");
}

struct PamHeader {
  std::uint32_t width = 0, height = 0, depth = 0, most = 0;
  std::string type;
};

PamHeader read_pam_header(const PictureFile& file, Scanner& scanner) {
  PamHeader h;
  std::array<bool, 4> given{};
  for (;;) {
    const std::string_view key = scanner.word();
    if (key.empty())
      refuse_cut_short(file.path);
    if (key == "ENDHDR")
      break;
    if (key == "TUPLTYPE") {
      std::string_view value = scanner.rest_of_line();
      while (!value.empty() && is_space(static_cast<std::uint8_t>(value.front())))
        value.remove_prefix(1);
      while (!value.empty() && is_space(static_cast<std::uint8_t>(value.back())))
        value.remove_suffix(1);
      if (!h.type.empty())
        h.type += ' ';
      h.type.append(value);
      continue;
    }
    constexpr std::array<std::string_view, 4> keys{"WIDTH", "HEIGHT", "DEPTH", "MAXVAL"};
    const std::array<std::uint32_t*, 4> values{&h.width, &h.height, &h.depth, &h.most};
    const std::size_t i = static_cast<std::size_t>(std::ranges::find(keys, key) - keys.begin());
    if (i == keys.size())
      refuse_damaged(file.path, "an unknown word stands in its header");
    *values[i] = read_number(file, scanner);
    given[i] = true;
  }
  if (std::ranges::find(given, false) != given.end())
    refuse_damaged(file.path, "its width, height, depth or largest value is missing");
  return h;
}

// By the name of the tuples; without one, by their depth.
void take_pam_model(const PictureFile& file, const PamHeader& h, StoredPicture& picture) {
  constexpr std::string_view alpha = "_ALPHA";
  std::string_view type = h.type;
  picture.alpha = type.empty() ? h.depth == 2 || h.depth == 4 : type.ends_with(alpha);
  if (!type.empty() && picture.alpha)
    type.remove_suffix(alpha.size());
  if (type.empty() ? h.depth >= 1 && h.depth <= 2 : type == "GRAYSCALE" || type == "BLACKANDWHITE")
    picture.model = ColourModel::grey;
  else if (type.empty() ? h.depth >= 3 && h.depth <= 4 : type == "RGB")
    picture.model = ColourModel::rgb;
  else if (type.empty())
    refuse_kind(file.path, fmt::format("a PAM picture of {} channels", h.depth));
  else
    refuse_kind(file.path,
                fmt::format("a PAM picture with tuples of its own type ({})", h.type.substr(0, 40)));
  if (h.depth < static_cast<std::uint32_t>(picture.channels()))
    refuse_damaged(file.path, "its depth is less than its type of tuples needs");
  if (h.depth > static_cast<std::uint32_t>(picture.channels()))
    refuse_kind(file.path, fmt::format("a PAM picture of {} channels", h.depth));
}

float float_at(Bytes bytes, std::size_t at, bool little) {
  const std::uint32_t bits = little ? little_endian_32(bytes, at) : big_endian_32(bytes, at);
  float value = 0;
  static_assert(sizeof value == sizeof bits);
  std::memcpy(&value, &bits, sizeof value);
  return value;
}

}  // namespace

StoredPicture decode_pnm(const PictureFile& file, const PictureLimits& limits) {
  const std::uint8_t kind = file.bytes[1];
  Header header{kind == '1' || kind == '4', kind >= '4', 1};
  Scanner scanner(file.bytes, 2);
  const std::uint32_t width = read_number(file, scanner), height = read_number(file, scanner);
  check_size(file.path, width, height, limits);
  if (!header.bitmap)
    header.most = read_number(file, scanner);
  check_most(file, header.most);

  StoredPicture picture;
  picture.width = static_cast<int>(width);
  picture.height = static_cast<int>(height);
  picture.model = kind == '3' || kind == '6' ? ColourModel::rgb : ColourModel::grey;
  picture.kind = header.most > 255 ? SampleKind::word : SampleKind::byte;
  const Bytes raw = scanner.raw();
  if (raw.size() < least_bytes(header, picture))
    refuse_cut_short(file.path);
  picture.allocate();
  if (!header.raw)
    read_plain(file, scanner, header, picture);
  else if (header.bitmap)
    read_bits(raw, picture);
  else
    read_raw(raw, header, picture);
  return picture;
}

StoredPicture decode_pam(const PictureFile& file, const PictureLimits& limits) {
  Scanner scanner(file.bytes, 2);
  const PamHeader h = read_pam_header(file, scanner);
  check_size(file.path, h.width, h.height, limits);
  check_most(file, h.most);
  StoredPicture picture;
  picture.width = static_cast<int>(h.width);
  picture.height = static_cast<int>(h.height);
  picture.kind = h.most > 255 ? SampleKind::word : SampleKind::byte;
  take_pam_model(file, h, picture);
  const Header header{false, true, h.most};
  const Bytes raw = scanner.raw();
  if (raw.size() < least_bytes(header, picture))
    refuse_cut_short(file.path);
  picture.allocate();
  read_raw(raw, header, picture);
  return picture;
}

StoredPicture decode_pfm(const PictureFile& file, const PictureLimits& limits) {
  Scanner scanner(file.bytes, 2);
  const std::uint32_t width = read_number(file, scanner), height = read_number(file, scanner);
  check_size(file.path, width, height, limits);
  std::string_view word = scanner.word();
  if (scanner.at_end())
    refuse_cut_short(file.path);
  if (word.starts_with('+'))
    word.remove_prefix(1);
  double scale = 0;
  const auto parsed = std::from_chars(word.data(), word.data() + word.size(), scale);
  if (parsed.ec != std::errc() || parsed.ptr != word.data() + word.size() || scale == 0 ||
      !std::isfinite(scale))
    refuse_damaged(file.path, "its scale is not a number above or below 0");

  StoredPicture picture;
  picture.width = static_cast<int>(width);
  picture.height = static_cast<int>(height);
  picture.model = file.bytes[1] == 'F' ? ColourModel::rgb : ColourModel::grey;
  picture.kind = SampleKind::real;
  const Bytes raw = scanner.raw();
  const std::size_t row = picture.row_bytes();
  if (raw.size() < row * height)
    refuse_cut_short(file.path);
  picture.allocate();
  for (std::size_t y = 0; y < height; ++y) {
    for (std::size_t at = 0; at < row; at += sizeof(float)) {
      // Rows from below; a negative scale means little-endian.
      const float stored = float_at(raw, (height - 1 - y) * row + at, scale < 0);
      const float value = static_cast<float>(static_cast<double>(stored) / std::abs(scale));
      std::memcpy(picture.samples.data() + y * row + at, &value, sizeof value);
    }
  }
  cut_to_white(picture);
  return picture;
}

}  // namespace powderplan
