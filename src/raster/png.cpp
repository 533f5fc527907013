#include "raster/png.h"

#include <fmt/format.h>
#include <png.h>
#include <zlib.h>

#include <algorithm>
#include <bit>
#include <cerrno>
#include <cmath>
#include <csetjmp>
#include <cstdio>
#include <cstring>
#include <new>
#include <system_error>
#include <utility>

#include "problem.h"
#include "raster/decoders.h"

namespace powderplan {
namespace {

using Buffer = std::vector<std::uint8_t>;

// One filter (`up`) for all rows: choosing one for each row costs more time than it saves bytes.
// Measured at 1200 x 1200 with zlib 1.2.13 on one core, fast | small:
//   a layer of 0 and 65535        5 ms, 75 kB   |   8 ms, 51 kB
//   a layer that fades           21 ms, 520 kB  |  48 ms, 390 kB
//   a photo                      45 ms, 2.2 MB  |  71 ms, 2.1 MB
//   a preview of 24 flat colours 15 ms, 470 kB  |  20 ms, 370 kB
// Level 6 saves another 4 % of a photo for three times the time.
constexpr int level_of(PngEffort effort) {
  return effort == PngEffort::fast ? 1 : 4;
}

// What is written, apart from the pixels.
struct Format {
  std::uint32_t width, height;
  int bits, colour_type;
  bool srgb;
  std::uint32_t points_per_metre;
  int level;
};

struct Sink {
  Buffer* bytes;
  bool out_of_memory = false;
};

void on_error(png_structp png, png_const_charp) {
  png_longjmp(png, 1);
}
void on_warning(png_structp, png_const_charp) {}
void on_write(png_structp png, png_bytep data, std::size_t count) {
  Sink& sink = *static_cast<Sink*>(png_get_io_ptr(png));
  try {
    sink.bytes->insert(sink.bytes->end(), data, data + count);
  } catch (const std::bad_alloc&) {
    sink.out_of_memory = true;
  }
  if (sink.out_of_memory)
    png_error(png, "out of memory");
}
void on_flush(png_structp) {}

void write_header(png_structp png, png_infop info, const Format& format) {
  png_set_IHDR(png, info, format.width, format.height, format.bits, format.colour_type, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  if (format.srgb)
    png_set_sRGB_gAMA_and_cHRM(png, info, PNG_sRGB_INTENT_RELATIVE);
  else
    png_set_gAMA_fixed(png, info, PNG_FP_1);
  png_set_pHYs(png, info, format.points_per_metre, format.points_per_metre, PNG_RESOLUTION_METER);
  png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_FILTER_UP);
  png_set_compression_level(png, format.level);
  // libpng would choose another one for filtered rows.
  png_set_compression_strategy(png, Z_DEFAULT_STRATEGY);
  png_write_info(png, info);
}

// Nothing in the next two needs a destructor, because libpng leaves by longjmp.
bool begin(png_structp png, png_infop info, const Format& format) {
  if (setjmp(png_jmpbuf(png)) != 0)
    return false;
  write_header(png, info, format);
  if constexpr (std::endian::native == std::endian::little) {
    if (format.bits == 16)
      png_set_swap(png);
  }
  return true;
}
// The end without a row.
bool write(png_structp png, const std::uint8_t* row) {
  if (setjmp(png_jmpbuf(png)) != 0)
    return false;
  if (row != nullptr)
    png_write_row(png, row);
  else
    png_write_end(png, nullptr);
  return true;
}

// The state of libpng while a picture is written.
class Writer {
 public:
  explicit Writer(const Format& format)
      : png_(png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, on_error, on_warning)),
        info_(png_ != nullptr ? png_create_info_struct(png_) : nullptr) {
    if (info_ == nullptr) {
      png_destroy_write_struct(&png_, &info_);
      throw std::bad_alloc();
    }
    png_set_write_fn(png_, &sink_, on_write, on_flush);
    png_set_user_limits(png_, PNG_UINT_31_MAX, PNG_UINT_31_MAX);
    check(begin(png_, info_, format));
  }
  ~Writer() { png_destroy_write_struct(&png_, &info_); }
  Writer(const Writer&) = delete;
  Writer& operator=(const Writer&) = delete;

  void row(const std::uint8_t* bytes) { check(write(png_, bytes)); }
  Buffer end() {
    check(write(png_, nullptr));
    return std::move(bytes_);
  }

 private:
  // With a valid header, memory is all that can be missing.
  static void check(bool done) {
    if (!done)
      throw std::bad_alloc();
  }
  Buffer bytes_;
  Sink sink_{&bytes_};
  png_structp png_;
  png_infop info_;
};

template <class T>
Buffer encode(const PictureRows<T>& picture, const Format& format) {
  Writer writer(format);
  std::vector<T> row(format.width);
  for (int y = 0; y < picture.height; ++y) {
    picture.row(y, row.data());
    writer.row(reinterpret_cast<const std::uint8_t*>(row.data()));
  }
  return writer.end();
}

std::uint32_t points_per_metre(Millimetres pitch) {
  const double points = std::round(1000.0 / pitch.value());
  if (!(points >= 1 && points <= PNG_UINT_31_MAX))
    throw Problem(ProblemKind::other, "PNG", fmt::format("a pitch of {} mm cannot be written", pitch.value()),
                  "report this as a fault");
  return static_cast<std::uint32_t>(points);
}

template <class T>
Format format_of(const PictureRows<T>& picture, Millimetres pitch, PngEffort effort) {
  if (picture.width <= 0 || picture.height <= 0)
    throw Problem(ProblemKind::other, "PNG", "a picture without pixels cannot be written",
                  "report this as a fault");
  constexpr bool colour = sizeof(T) == sizeof(Rgb8);
  return {static_cast<std::uint32_t>(picture.width),
          static_cast<std::uint32_t>(picture.height),
          colour ? 8 : 16,
          colour ? PNG_COLOR_TYPE_RGB : PNG_COLOR_TYPE_GRAY,
          colour,
          points_per_metre(pitch),
          level_of(effort)};
}

}  // namespace

static_assert(sizeof(Rgb8) == 3, "rows of Rgb8 are handed to libpng as they are, and known by their size");

std::vector<std::uint8_t> encode_png(const PictureRows<Rgb8>& picture, Millimetres pitch, PngEffort effort) {
  return encode(picture, format_of(picture, pitch, effort));
}
std::vector<std::uint8_t> encode_png(const PictureRows<std::uint16_t>& layer, Millimetres pitch,
                                     PngEffort effort) {
  return encode(layer, format_of(layer, pitch, effort));
}
std::vector<std::uint8_t> encode_png(const Image<Rgb8>& picture, Millimetres pitch, PngEffort effort) {
  return encode_png(rows_of(picture), pitch, effort);
}
std::vector<std::uint8_t> encode_png(const Image<std::uint16_t>& layer, Millimetres pitch, PngEffort effort) {
  return encode_png(rows_of(layer), pitch, effort);
}

Image<std::uint16_t> decode_layer_png(const std::vector<std::uint8_t>& bytes,
                                      const std::filesystem::path& name) {
  if (recognise(bytes).kind != FileKind::png)
    refuse(name, "is not a PNG picture", "make the plan again");
  const StoredPicture picture = [&] {
    try {
      return decode_png({name, FileKind::png, bytes}, {most_layer_pixels});
    } catch (const Problem& problem) {  // whose remedy is for a picture of the user's own
      throw Problem(problem.kind(), problem.place(), problem.wrong(), "make the plan again");
    }
  }();
  if (picture.model != ColourModel::grey || picture.kind != SampleKind::word || picture.alpha)
    refuse(name, "is not a layer, which is 16-bit grey", "make the plan again");
  Image<std::uint16_t> layer(picture.width, picture.height);
  std::memcpy(layer.data(), picture.samples.data(), picture.samples.size());
  return layer;
}

// PNG, third edition, 5.2 and 11.2.1: behind the signature, the length and the name of the first chunk.
std::optional<PngSize> size_of_png(const std::vector<std::uint8_t>& bytes) {
  if (bytes.size() < 24 || recognise(bytes).kind != FileKind::png || !has_text(bytes, 12, "IHDR"))
    return std::nullopt;
  return PngSize{big_endian_32(bytes, 16), big_endian_32(bytes, 20)};
}

}  // namespace powderplan
