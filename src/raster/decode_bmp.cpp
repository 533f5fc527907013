// Windows bitmaps: BITMAPCOREHEADER, BITMAPINFOHEADER and its versions 2 to 5 (Microsoft, "Bitmap storage").
#include <bit>
#include <utility>

#include "raster/decoders.h"

namespace powderplan {
namespace {

constexpr std::size_t file_header = 14, core_header = 12, v5_header = 124;
constexpr std::uint32_t uncompressed = 0, rle8 = 1, rle4 = 2, bit_fields = 3, alpha_bit_fields = 6;

struct Header {
  std::size_t size = 0;       // of the second header
  std::size_t pixels_at = 0;  // from the beginning of the file
  std::int64_t width = 0, height = 0;
  bool bottom_up = true;
  std::uint32_t bits = 0, compression = 0, palette = 0;
  std::array<std::uint32_t, 4> masks{};  // red, green, blue, alpha; of 16 and 32 bits
  [[nodiscard]] std::size_t row_bytes() const {
    return (static_cast<std::size_t>(width) * bits + 31) / 32 * 4;
  }
  [[nodiscard]] bool run_lengths() const {
    return (bits == 8 && compression == rle8) || (bits == 4 && compression == rle4);
  }
  [[nodiscard]] std::size_t palette_entry() const { return size == core_header ? 3 : 4; }
  [[nodiscard]] std::size_t palette_at() const {
    const bool masks_follow = size == 40 && compression == bit_fields;
    return file_header + size + (masks_follow ? 12 : 0);
  }
};

void take_masks(Bytes b, Header& h) {
  if (h.compression != uncompressed) {
    const std::size_t count = h.size >= 56 || h.compression == alpha_bit_fields ? 4 : 3;
    for (std::size_t i = 0; i < count && file_header + 44 + 4 * i <= b.size(); ++i)
      h.masks[i] = little_endian_32(b, file_header + 40 + 4 * i);
  } else if (h.bits == 16) {
    h.masks = {0x7c00, 0x03e0, 0x001f, 0};
  } else {
    h.masks = {0xff0000, 0x00ff00, 0x0000ff, 0};
  }
}

Header read_header(const PictureFile& file) {
  const Bytes b = file.bytes;
  Header h;
  h.size = little_endian_32(b, file_header);
  if (b.size() < file_header + h.size)
    refuse_cut_short(file.path);
  h.pixels_at = little_endian_32(b, 10);
  if (h.size == core_header) {
    h.width = little_endian_16(b, 18);
    h.height = little_endian_16(b, 20);
    h.bits = little_endian_16(b, 24);
  } else {
    h.width = static_cast<std::int32_t>(little_endian_32(b, 18));
    h.height = static_cast<std::int32_t>(little_endian_32(b, 22));
    h.bits = little_endian_16(b, 28);
    h.compression = little_endian_32(b, 30);
    h.palette = little_endian_32(b, 46);
  }
  h.bottom_up = h.height > 0;
  if (h.height < 0)
    h.height = -h.height;
  if (h.bits <= 8 && (h.palette == 0 || h.palette > 256))
    h.palette = 1u << h.bits;
  if (h.bits == 16 || h.bits == 32)
    take_masks(b, h);
  return h;
}

void check_supported(const PictureFile& file, const Header& h) {
  const bool depth =
      h.bits == 1 || h.bits == 4 || h.bits == 8 || h.bits == 16 || h.bits == 24 || h.bits == 32;
  const bool fields =
      (h.bits == 16 || h.bits == 32) && (h.compression == bit_fields || h.compression == alpha_bit_fields);
  if (!depth || (h.compression != uncompressed && !fields && !h.run_lengths()))
    refuse_kind(file.path, "a compressed or unusual BMP");
}

// Unpacks RLE4 and RLE8 into one byte a pixel, rows as stored. Skipped pixels get the first colour.
class RunLengths {
 public:
  RunLengths(const PictureFile& file, const Header& h)
      : file_(file),
        at_(h.pixels_at),
        nibbles_(h.compression == rle4),
        width_(static_cast<std::size_t>(h.width)),
        out_(width_ * static_cast<std::size_t>(h.height)) {}

  std::vector<std::uint8_t> unpack() && {
    for (bool more = true; more;)
      more = step();
    return std::move(out_);
  }

 private:
  // False at the end of the bitmap, or where the file ends behind the last pixel.
  bool step() {
    const bool complete = row_ + width_ >= out_.size() && x_ == width_;
    if (row_ >= out_.size() || (complete && file_.bytes.size() - at_ < 2))
      return false;
    const std::size_t count = next(), code = next();
    if (count > 0) {
      for (std::size_t i = 0; i < count; ++i)
        put(nibbles_ ? code >> (i % 2 == 0 ? 4 : 0) & 15 : code);
      return true;
    }
    switch (code) {
      case 0:  // end of the row
        x_ = 0;
        row_ += width_;
        return true;
      case 1:  // end of the bitmap
        return false;
      case 2:  // skip
        x_ += next();
        row_ += next() * width_;
        return true;
      default:
        literal(code);
        return true;
    }
  }
  // Padded to 16 bits.
  void literal(std::size_t count) {
    const std::size_t bytes = nibbles_ ? (count + 1) / 2 : count;
    std::size_t value = 0;
    for (std::size_t i = 0; i < count; ++i) {
      if (!nibbles_ || i % 2 == 0)
        value = next();
      put(!nibbles_ ? value : i % 2 == 0 ? value >> 4 : value & 15);
    }
    if (bytes % 2 != 0)
      next();
  }
  std::size_t next() {
    if (at_ >= file_.bytes.size())
      refuse_cut_short(file_.path);
    return file_.bytes[at_++];
  }
  void put(std::size_t index) {
    if (x_ >= width_ || row_ >= out_.size())
      refuse_damaged(file_.path, "a run of pixels leaves the picture");
    out_[row_ + x_++] = static_cast<std::uint8_t>(index);
  }

  const PictureFile& file_;
  std::size_t at_;
  bool nibbles_;
  std::size_t width_, x_ = 0, row_ = 0;  // row_: where the row begins in out_
  std::vector<std::uint8_t> out_;
};

void read_indexed(const PictureFile& file, const Header& h, const std::uint8_t* row, std::uint8_t* out) {
  const std::size_t at = h.palette_at();
  for (std::size_t x = 0; x < static_cast<std::size_t>(h.width); ++x) {
    const std::size_t bit = x * h.bits;
    const std::uint32_t index = row[bit / 8] >> (8 - h.bits - bit % 8) & ((1u << h.bits) - 1);
    const std::size_t entry = at + index * h.palette_entry();
    if (index >= h.palette || entry + 3 > file.bytes.size())
      refuse_damaged(file.path, "a colour is missing in its palette");
    for (std::size_t i = 0; i < 3; ++i)
      *out++ = file.bytes[entry + 2 - i];
  }
}

std::uint8_t masked(std::uint32_t value, std::uint32_t mask) {
  if (mask == 0)
    return 0;
  const int shift = std::countr_zero(mask);
  const std::uint64_t most = mask >> shift;
  return static_cast<std::uint8_t>((std::uint64_t{(value & mask) >> shift} * 255 + most / 2) / most);
}

void read_masked(const Header& h, Bytes row, bool alpha, std::uint8_t* out) {
  for (std::size_t x = 0; x < static_cast<std::size_t>(h.width); ++x) {
    const std::uint32_t value = h.bits == 16 ? little_endian_16(row, 2 * x) : little_endian_32(row, 4 * x);
    for (std::size_t i = 0; i < (alpha ? 4u : 3u); ++i)
      *out++ = masked(value, h.masks[i]);
  }
}

void read_plain(const Header& h, const std::uint8_t* row, std::uint8_t* out) {
  for (std::size_t x = 0; x < static_cast<std::size_t>(h.width); ++x) {
    for (std::size_t i = 0; i < 3; ++i)
      *out++ = row[3 * x + 2 - i];
  }
}

// Many writers leave the alpha of every pixel at 0 and mean an opaque picture.
void drop_empty_alpha(StoredPicture& picture) {
  for (std::size_t i = 3; i < picture.samples.size(); i += 4) {
    if (picture.samples[i] != 0)
      return;
  }
  for (std::size_t i = 3; i < picture.samples.size(); i += 4)
    picture.samples[i] = 255;
}

void take_profile(Bytes b, const Header& h, ColourTag& colour) {
  constexpr std::uint32_t embedded = 0x4d424544;  // 'MBED'
  if (h.size < v5_header || little_endian_32(b, file_header + 56) != embedded)
    return;
  const std::size_t at = file_header + std::size_t{little_endian_32(b, file_header + 112)};
  const std::size_t size = little_endian_32(b, file_header + 116);
  if (at > b.size() || size > b.size() - at) {
    colour.icc_damaged = true;
    return;
  }
  const Bytes profile = b.subspan(at, size);
  colour.icc.assign(profile.begin(), profile.end());
}

}  // namespace

StoredPicture decode_bmp(const PictureFile& file, const PictureLimits& limits) {
  const Bytes bytes = file.bytes;
  Header h = read_header(file);
  if (h.width < 0)
    refuse_damaged(file.path, "its width is negative");
  check_size(file.path, static_cast<std::uint64_t>(h.width), static_cast<std::uint64_t>(h.height), limits);
  check_supported(file, h);
  if (h.pixels_at > bytes.size())
    refuse_cut_short(file.path);
  const bool unpacked = h.run_lengths();
  std::vector<std::uint8_t> indices;
  Bytes rows = bytes.subspan(h.pixels_at);
  if (unpacked) {
    rows = indices = RunLengths(file, h).unpack();
    h.bits = 8;
  }
  const std::size_t row_bytes = unpacked ? static_cast<std::size_t>(h.width) : h.row_bytes();
  if (row_bytes * static_cast<std::size_t>(h.height) > rows.size())
    refuse_cut_short(file.path);

  StoredPicture picture;
  picture.width = static_cast<int>(h.width);
  picture.height = static_cast<int>(h.height);
  picture.alpha = h.masks[3] != 0;
  picture.allocate();
  for (std::size_t y = 0; y < static_cast<std::size_t>(h.height); ++y) {
    const std::size_t stored = h.bottom_up ? static_cast<std::size_t>(h.height) - 1 - y : y;
    const Bytes row = rows.subspan(stored * row_bytes, row_bytes);
    std::uint8_t* out = picture.samples.data() + y * picture.row_bytes();
    if (h.bits <= 8)
      read_indexed(file, h, row.data(), out);
    else if (h.bits == 24)
      read_plain(h, row.data(), out);
    else
      read_masked(h, row, picture.alpha, out);
  }
  if (picture.alpha)
    drop_empty_alpha(picture);
  take_profile(bytes, h, picture.colour);
  return picture;
}

}  // namespace powderplan
