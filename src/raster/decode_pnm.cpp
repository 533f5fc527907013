// Netpbm's PBM, PGM and PPM (P1 to P6), as their manual pages define them.
#include <algorithm>
#include <cstring>
#include <optional>

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
  [[nodiscard]] bool at_end() const { return at_ >= bytes_.size(); }
  // One white space stands between the header and raw samples.
  [[nodiscard]] Bytes raw() const { return bytes_.subspan(std::min(at_ + 1, bytes_.size())); }

 private:
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

}  // namespace

StoredPicture decode_pnm(const PictureFile& file, const PictureLimits& limits) {
  const std::uint8_t kind = file.bytes[1];
  Header header{kind == '1' || kind == '4', kind >= '4', 1};
  Scanner scanner(file.bytes, 2);
  const std::uint32_t width = read_number(file, scanner), height = read_number(file, scanner);
  check_size(file.path, width, height, limits);
  if (!header.bitmap)
    header.most = read_number(file, scanner);
  if (header.most < 1 || header.most > 65535)
    refuse_damaged(file.path, "its largest value is not between 1 and 65535");

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

}  // namespace powderplan
