#include <png.h>

#include <algorithm>
#include <csetjmp>
#include <cstring>
#include <new>
#include <string_view>

#include "raster/decoders.h"
#include "raster/exif_orientation.h"
#include "raster/png_profile.h"

namespace powderplan {
namespace {

constexpr std::size_t signature_size = 8;

struct Chunks {
  std::vector<std::uint8_t> profile;
  bool has_profile = false, animation = false, coding_points = false;
  bool cut_short = false;  // a chunk says that it goes on beyond the end of the file
};

bool is_name(Bytes four) {
  return std::ranges::all_of(four, [](std::uint8_t c) { return (c | 0x20) >= 'a' && (c | 0x20) <= 'z'; });
}

// What libpng does not tell: chunks in front of the pixels that it rejected or does not know. And one that
// goes beyond the file: libpng takes as much room for some as they say, up to 2 GiB, before it finds the end.
Chunks look_at_chunks(Bytes bytes) {
  Chunks found;
  bool pixels = false;
  std::size_t at = signature_size;
  while (at + 8 <= bytes.size() && !has_text(bytes, at + 4, "IEND")) {
    const std::uint32_t said = big_endian_32(bytes, at);
    const std::size_t length = 12 + std::size_t{said};
    const bool idat = has_text(bytes, at + 4, "IDAT");
    if (length > bytes.size() - at) {
      // Other lengths and names are damage to libpng, and pixels it unpacks as far as they go.
      found.cut_short = !idat && said <= PNG_UINT_31_MAX && is_name(bytes.subspan(at + 4, 4));
      break;
    }
    pixels = pixels || idat;
    if (!pixels) {
      found.animation = found.animation || has_text(bytes, at + 4, "acTL");
      found.coding_points = found.coding_points || has_text(bytes, at + 4, "cICP");
      if (!found.has_profile && has_text(bytes, at + 4, "iCCP")) {
        found.has_profile = true;
        found.profile = unpacked_png_profile(bytes.subspan(at, length));
      }
    }
    at += length;
  }
  return found;
}

// libpng with its state, its complaint, and its place in the bytes. libpng leaves by longjmp where it finds a
// fault, so whatever may find one runs inside step() and holds nothing there that needs a destructor.
class Reader {
 public:
  explicit Reader(Bytes bytes)
      : rest_(bytes), png_(png_create_read_struct(PNG_LIBPNG_VER_STRING, this, on_error, on_warning)) {
    info_ = png_ != nullptr ? png_create_info_struct(png_) : nullptr;
    if (info_ == nullptr) {
      png_destroy_read_struct(&png_, nullptr, nullptr);
      throw std::bad_alloc();
    }
    png_set_read_fn(png_, this, on_read);
    // Our own limit on pixels has been applied; libpng's on width and height would only be in its way.
    png_set_user_limits(png_, PNG_UINT_31_MAX, PNG_UINT_31_MAX);
  }
  ~Reader() { png_destroy_read_struct(&png_, &info_, nullptr); }
  Reader(const Reader&) = delete;
  Reader& operator=(const Reader&) = delete;

  // False when libpng gave up: see complaint() and cut_short().
  template <class F>
  bool step(F&& call) {
    if (setjmp(png_jmpbuf(png_)) != 0)
      return false;
    call(png_, info_);
    return true;
  }
  [[nodiscard]] png_structp png() const { return png_; }
  [[nodiscard]] png_infop info() const { return info_; }
  [[nodiscard]] std::string_view complaint() const { return complaint_; }
  [[nodiscard]] bool cut_short() const { return cut_short_; }

 private:
  static void on_error(png_structp png, png_const_charp text) {
    auto& self = *static_cast<Reader*>(png_get_error_ptr(png));
    std::strncpy(self.complaint_, text, sizeof self.complaint_ - 1);
    png_longjmp(png, 1);
  }
  static void on_warning(png_structp, png_const_charp) {}
  static void on_read(png_structp png, png_bytep out, std::size_t count) {
    auto& self = *static_cast<Reader*>(png_get_io_ptr(png));
    if (count > self.rest_.size()) {
      self.cut_short_ = true;
      png_error(png, "the file ends too early");
    }
    std::memcpy(out, self.rest_.data(), count);
    self.rest_ = self.rest_.subspan(count);
  }

  Bytes rest_;
  png_structp png_;
  png_infop info_ = nullptr;
  bool cut_short_ = false;
  char complaint_[128] = {};
};

// libpng's own words are for programmers.
std::string_view in_our_words(std::string_view complaint) {
  const auto has = [complaint](std::string_view part) {
    return complaint.find(part) != std::string_view::npos;
  };
  if (has("CRC"))
    return "a check sum in it does not match its bytes";
  if (has("PLTE") || has("palette"))
    return "its palette is missing or makes no sense";
  if (has("IHDR"))
    return "its header makes no sense";
  if (has("Not enough image data"))
    return "part of its pixels is missing";
  if (complaint.starts_with("IDAT") || complaint.starts_with("bad adaptive filter"))
    return "its pixels cannot be unpacked";
  return "";
}

[[noreturn]] void refuse_png(const PictureFile& file, const Reader& reader) {
  if (reader.cut_short())
    refuse_cut_short(file.path);
  refuse_damaged(file.path, in_our_words(reader.complaint()));
}

// All colour types brought to grey or RGB of 8 or 16 bits, with alpha where the file has any.
void ask_for_plain_samples(png_structp png, png_infop info) {
  const int bits = png_get_bit_depth(png, info);
  const int type = png_get_color_type(png, info);
  if (type == PNG_COLOR_TYPE_PALETTE)
    png_set_palette_to_rgb(png);
  if (type == PNG_COLOR_TYPE_GRAY && bits < 8)
    png_set_expand_gray_1_2_4_to_8(png);
  if (png_get_valid(png, info, PNG_INFO_tRNS) != 0)
    png_set_tRNS_to_alpha(png);
  if constexpr (std::endian::native == std::endian::little) {
    if (bits == 16)
      png_set_swap(png);
  }
  png_set_interlace_handling(png);
  png_read_update_info(png, info);
}

void take_layout(const Reader& reader, StoredPicture& picture) {
  const int type = png_get_color_type(reader.png(), reader.info());
  picture.model = (type & PNG_COLOR_MASK_COLOR) != 0 ? ColourModel::rgb : ColourModel::grey;
  picture.alpha = (type & PNG_COLOR_MASK_ALPHA) != 0;
  picture.kind = png_get_bit_depth(reader.png(), reader.info()) == 16 ? SampleKind::word : SampleKind::byte;
}

// PNG third edition, 4.3: iCCP before sRGB before gAMA and cHRM.
void take_colour(const Reader& reader, const Chunks& chunks, ColourTag& colour) {
  png_structp png = reader.png();
  png_infop info = reader.info();
  int intent = 0;
  // LittleCMS judges it, as it does those of other files: libpng has rules of its own, and drops what breaks
  // them without a word.
  colour.icc = chunks.profile;
  colour.icc_damaged = chunks.has_profile && colour.icc.empty();
  if (chunks.has_profile)
    return;
  colour.srgb = png_get_sRGB(png, info, &intent) != 0;
  if (colour.srgb)
    return;
  double gamma = 0;
  if (png_get_gAMA(png, info, &gamma) != 0 && gamma > 0)
    colour.gamma = gamma;
  std::array<double, 8> c{};
  if (png_get_cHRM(png, info, &c[0], &c[1], &c[2], &c[3], &c[4], &c[5], &c[6], &c[7]) != 0)
    colour.chromaticities = c;
}

int orientation_of(const Reader& reader) {
  png_uint_32 size = 0;
  png_bytep exif = nullptr;
  if (png_get_eXIf_1(reader.png(), reader.info(), &size, &exif) == 0 || exif == nullptr)
    return 1;
  return exif_orientation(Bytes(exif, size));
}

}  // namespace

StoredPicture decode_png(const PictureFile& file, const PictureLimits& limits) {
  const Bytes bytes = file.bytes;
  constexpr std::size_t header_end = signature_size + 16;
  if (bytes.size() < header_end)
    refuse_cut_short(file.path);
  if (!has_text(bytes, 12, "IHDR"))
    refuse_damaged(file.path, "its header is missing");
  check_size(file.path, big_endian_32(bytes, 16), big_endian_32(bytes, 20), limits);

  const Chunks chunks = look_at_chunks(bytes);
  if (chunks.cut_short)
    refuse_cut_short(file.path);
  Reader reader(bytes);
  if (!reader.step([](png_structp png, png_infop info) { png_read_info(png, info); }))
    refuse_png(file, reader);
  StoredPicture picture;
  take_colour(reader, chunks, picture.colour);
  if (!reader.step(ask_for_plain_samples))
    refuse_png(file, reader);
  picture.width = static_cast<int>(png_get_image_width(reader.png(), reader.info()));
  picture.height = static_cast<int>(png_get_image_height(reader.png(), reader.info()));
  take_layout(reader, picture);
  picture.allocate();
  std::vector<png_bytep> rows(static_cast<std::size_t>(picture.height));
  for (std::size_t y = 0; y < rows.size(); ++y)
    rows[y] = picture.samples.data() + y * picture.row_bytes();
  if (!reader.step([&rows](png_structp png, png_infop info) {
        png_read_image(png, rows.data());
        png_read_end(png, info);
      }))
    refuse_png(file, reader);
  take_orientation(picture, orientation_of(reader));
  if (chunks.animation)
    picture.notes.emplace_back("an animation: its still picture is taken");
  if (chunks.coding_points)
    picture.notes.emplace_back("its cICP colour description is not read: colours may be off");
  return picture;
}

}  // namespace powderplan
