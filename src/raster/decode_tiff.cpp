#include <fmt/format.h>
#include <tiffio.h>

#include <algorithm>
#include <cmath>
#include <cstdarg>
#include <cstring>
#include <limits>
#include <memory>

#include "raster/decoders.h"
#include "raster/exif_orientation.h"

namespace powderplan {
namespace {

// The file in memory, as libtiff reads it, and whether it asked for more than there is.
struct Stream {
  Bytes bytes;
  std::uint64_t at = 0;
  bool ended_early = false;
};

Stream& stream_of(thandle_t handle) {
  return *static_cast<Stream*>(handle);
}

tmsize_t on_read(thandle_t handle, void* out, tmsize_t count) {
  Stream& stream = stream_of(handle);
  const std::uint64_t left = stream.at < stream.bytes.size() ? stream.bytes.size() - stream.at : 0;
  const std::size_t size =
      static_cast<std::size_t>(std::min<std::uint64_t>(left, static_cast<std::uint64_t>(count)));
  if (size > 0)
    std::memcpy(out, stream.bytes.data() + stream.at, size);
  stream.at += size;
  stream.ended_early = stream.ended_early || size < static_cast<std::size_t>(count);
  return static_cast<tmsize_t>(size);
}
tmsize_t on_write(thandle_t, void*, tmsize_t) {
  return 0;
}
toff_t on_seek(thandle_t handle, toff_t offset, int from) {
  Stream& stream = stream_of(handle);
  const std::uint64_t base = from == SEEK_CUR ? stream.at : from == SEEK_END ? stream.bytes.size() : 0;
  return stream.at = base + offset;
}
int on_close(thandle_t) {
  return 0;
}
toff_t on_size(thandle_t handle) {
  return stream_of(handle).bytes.size();
}

// Its words are for programmers.
int keep_silent(TIFF*, void*, const char*, const char*, va_list) {
  return 1;
}

struct Close {
  void operator()(TIFF* tiff) const { TIFFClose(tiff); }
};
using Tiff = std::unique_ptr<TIFF, Close>;

// "m": no mapping, all goes through on_read and its bounds.
Tiff open(Stream& stream) {
  const std::unique_ptr<TIFFOpenOptions, decltype(&TIFFOpenOptionsFree)> options(TIFFOpenOptionsAlloc(),
                                                                                 TIFFOpenOptionsFree);
  TIFFOpenOptionsSetErrorHandlerExtR(options.get(), keep_silent, nullptr);
  TIFFOpenOptionsSetWarningHandlerExtR(options.get(), keep_silent, nullptr);
  return Tiff(TIFFClientOpenExt("picture", "rm", &stream, on_read, on_write, on_seek, on_close, on_size,
                                nullptr, nullptr, options.get()));
}

[[noreturn]] void refuse_tiff(const PictureFile& file, const Stream& stream) {
  if (stream.ended_early)
    refuse_cut_short(file.path);
  refuse_damaged(file.path, "its pixels cannot be unpacked");
}

template <class T>
T field(TIFF* tiff, std::uint32_t tag, T otherwise) {
  T value = otherwise;
  return TIFFGetFieldDefaulted(tiff, tag, &value) != 0 ? value : otherwise;
}

struct Layout {
  std::uint16_t bits, channels, photometric, planar, sample_format, alpha_kind;
  bool has_extra;
};

Layout layout_of(TIFF* tiff) {
  Layout l{};
  l.bits = field<std::uint16_t>(tiff, TIFFTAG_BITSPERSAMPLE, 1);
  l.channels = field<std::uint16_t>(tiff, TIFFTAG_SAMPLESPERPIXEL, 1);
  l.photometric = field<std::uint16_t>(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_MINISBLACK);
  l.planar = field<std::uint16_t>(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
  l.sample_format = field<std::uint16_t>(tiff, TIFFTAG_SAMPLEFORMAT, SAMPLEFORMAT_UINT);
  std::uint16_t count = 0;
  std::uint16_t* kinds = nullptr;
  TIFFGetFieldDefaulted(tiff, TIFFTAG_EXTRASAMPLES, &count, &kinds);
  l.has_extra = count > 0 && kinds != nullptr;
  l.alpha_kind = l.has_extra ? kinds[0] : std::uint16_t{EXTRASAMPLE_UNSPECIFIED};
  return l;
}

bool has_alpha(const Layout& l) {
  return l.alpha_kind == EXTRASAMPLE_ASSOCALPHA || l.alpha_kind == EXTRASAMPLE_UNASSALPHA;
}

// What can be taken sample by sample, with all that 16 bits or a float hold of it; false leaves it to
// libtiff's 8-bit conversion.
bool take_model(TIFF* tiff, const Layout& l, StoredPicture& picture) {
  if (l.sample_format == SAMPLEFORMAT_IEEEFP && (l.bits == 16 || l.bits == 32 || l.bits == 64))
    picture.kind = SampleKind::real;
  else if (l.sample_format == SAMPLEFORMAT_UINT && ((l.bits >= 8 && l.bits <= 16) || l.bits == 32))
    picture.kind = l.bits == 8 ? SampleKind::byte : SampleKind::word;
  else
    return false;
  switch (l.photometric) {
    case PHOTOMETRIC_MINISBLACK:
    case PHOTOMETRIC_MINISWHITE:
      picture.model = ColourModel::grey;
      break;
    case PHOTOMETRIC_RGB:
      picture.model = ColourModel::rgb;
      break;
    case PHOTOMETRIC_SEPARATED:
      if (field<std::uint16_t>(tiff, TIFFTAG_INKSET, INKSET_CMYK) != INKSET_CMYK)
        return false;
      picture.model = ColourModel::cmyk;
      break;
    default:
      return false;
  }
  picture.alpha = has_alpha(l) && l.channels > static_cast<int>(picture.model);
  return l.channels >= static_cast<int>(picture.model);
}

// Stored samples other than those of StoredPicture, row by row.
class RowConverter {
 public:
  explicit RowConverter(const Layout& l) : bits_(l.bits), real_(l.sample_format == SAMPLEFORMAT_IEEEFP) {}

  // The row itself where nothing needs doing; otherwise valid until the next call.
  Bytes operator()(Bytes row, std::size_t count) {
    if (bits_ == 8 || (real_ ? bits_ == 32 : bits_ == 16))
      return row;
    out_.resize(count * (real_ ? sizeof(float) : sizeof(std::uint16_t)));
    for (std::size_t i = 0; i < count; ++i) {
      if (real_)
        put(i, bits_ == 64 ? static_cast<float>(value_at<double>(row, i))
                           : half_to_float(value_at<std::uint16_t>(row, i)));
      else
        put(i, bits_ == 32 ? static_cast<std::uint16_t>(value_at<std::uint32_t>(row, i) >> 16)
                           : on_full_scale(packed_at(row, i)));
    }
    return out_;
  }

 private:
  template <class T>
  static T value_at(Bytes row, std::size_t i) {
    T value;
    std::memcpy(&value, row.data() + i * sizeof value, sizeof value);
    return value;
  }
  template <class T>
  void put(std::size_t i, T value) {
    std::memcpy(out_.data() + i * sizeof value, &value, sizeof value);
  }
  // IEEE 754 binary16.
  static float half_to_float(std::uint16_t half) {
    const int exponent = half >> 10 & 0x1f, fraction = half & 0x3ff;
    float value = std::ldexp(static_cast<float>(exponent == 0 ? fraction : fraction + 1024),
                             std::max(exponent, 1) - 25);
    if (exponent == 31)
      value =
          fraction == 0 ? std::numeric_limits<float>::infinity() : std::numeric_limits<float>::quiet_NaN();
    return (half & 0x8000) != 0 ? -value : value;
  }
  // TIFF 6.0: packed from the highest bit on, each row beginning at a byte.
  [[nodiscard]] std::uint32_t packed_at(Bytes row, std::size_t i) const {
    std::uint32_t value = 0;
    for (std::size_t bit = i * bits_; bit < (i + 1) * bits_; ++bit)
      value = value << 1 | (row[bit / 8] >> (7 - bit % 8) & 1u);
    return value;
  }
  [[nodiscard]] std::uint16_t on_full_scale(std::uint32_t value) const {
    const std::uint32_t most = std::max((1u << bits_) - 1, 1u);
    return static_cast<std::uint16_t>((value * 65535u + most / 2) / most);
  }

  std::size_t bits_;
  bool real_;
  std::vector<std::uint8_t> out_;
};

// One row of one plane (or of all channels together) spread into the picture's own channels.
void place_row(Bytes row, int first_channel, int row_channels, int x0, int columns, std::uint8_t* out_row,
               const StoredPicture& picture) {
  const std::size_t size = picture.sample_bytes();
  const std::size_t out_channels = static_cast<std::size_t>(picture.channels());
  const int wanted = std::min(row_channels, picture.channels() - first_channel);
  if (row_channels == picture.channels()) {
    const std::size_t pixel = out_channels * size;
    std::memcpy(out_row + static_cast<std::size_t>(x0) * pixel, row.data(),
                static_cast<std::size_t>(columns) * pixel);
    return;
  }
  for (int x = 0; x < columns; ++x) {
    const std::uint8_t* from =
        row.data() + static_cast<std::size_t>(x) * static_cast<std::size_t>(row_channels) * size;
    std::uint8_t* to =
        out_row +
        (static_cast<std::size_t>(x0 + x) * out_channels + static_cast<std::size_t>(first_channel)) * size;
    std::memcpy(to, from, static_cast<std::size_t>(wanted) * size);
  }
}

std::uint8_t* row_of(StoredPicture& picture, std::uint32_t y) {
  return picture.samples.data() + y * picture.row_bytes();
}

bool read_lines(TIFF* tiff, const Layout& l, StoredPicture& picture, int planes, int plane_channels) {
  std::vector<std::uint8_t> line(static_cast<std::size_t>(TIFFScanlineSize64(tiff)));
  const std::size_t count =
      static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(plane_channels);
  if (line.size() < (count * l.bits + 7) / 8)
    return false;
  RowConverter convert(l);
  for (int plane = 0; plane < planes; ++plane) {
    for (std::uint32_t y = 0; y < static_cast<std::uint32_t>(picture.height); ++y) {
      if (TIFFReadScanline(tiff, line.data(), y, static_cast<std::uint16_t>(plane)) != 1)
        return false;
      place_row(convert(line, count), plane, plane_channels, 0, picture.width, row_of(picture, y), picture);
    }
  }
  return true;
}

bool read_tiles(TIFF* tiff, const Layout& l, StoredPicture& picture, int planes, int plane_channels) {
  const std::uint32_t w = field<std::uint32_t>(tiff, TIFFTAG_TILEWIDTH, 0),
                      h = field<std::uint32_t>(tiff, TIFFTAG_TILELENGTH, 0);
  const std::uint64_t size = TIFFTileSize64(tiff);
  const std::size_t count = static_cast<std::size_t>(w) * static_cast<std::size_t>(plane_channels);
  const std::size_t row_size = (count * l.bits + 7) / 8;
  // A tile far larger than the picture is a trap, not a picture.
  if (w == 0 || h == 0 || size < row_size * h || size > picture.samples.size() * 4 + (1u << 24))
    return false;
  std::vector<std::uint8_t> tile(static_cast<std::size_t>(size));
  RowConverter convert(l);
  const std::uint32_t width = static_cast<std::uint32_t>(picture.width),
                      height = static_cast<std::uint32_t>(picture.height);
  for (int plane = 0; plane < planes; ++plane) {
    for (std::uint32_t y = 0; y < height; y += h) {
      for (std::uint32_t x = 0; x < width; x += w) {
        if (TIFFReadTile(tiff, tile.data(), x, y, 0, static_cast<std::uint16_t>(plane)) < 0)
          return false;
        for (std::uint32_t row = 0; row < std::min(h, height - y); ++row)
          place_row(convert(Bytes(tile).subspan(row * row_size, row_size), count), plane, plane_channels,
                    static_cast<int>(x), static_cast<int>(std::min(w, width - x)), row_of(picture, y + row),
                    picture);
      }
    }
  }
  return true;
}

// Black for white, in a grey picture.
template <class T>
void invert(StoredPicture& picture) {
  constexpr T full = std::is_floating_point_v<T> ? T{1} : std::numeric_limits<T>::max();
  const std::size_t pixel = static_cast<std::size_t>(picture.channels()) * sizeof(T);
  for (std::size_t at = 0; at < picture.samples.size(); at += pixel) {
    T value;
    std::memcpy(&value, picture.samples.data() + at, sizeof value);
    value = static_cast<T>(full - value);
    std::memcpy(picture.samples.data() + at, &value, sizeof value);
  }
}

void normalise(StoredPicture& picture, const Layout& l) {
  if (picture.alpha && l.alpha_kind == EXTRASAMPLE_ASSOCALPHA)
    divide_by_alpha(picture);
  if (l.photometric != PHOTOMETRIC_MINISWHITE)
    return;
  if (picture.kind == SampleKind::byte)
    invert<std::uint8_t>(picture);
  else if (picture.kind == SampleKind::word)
    invert<std::uint16_t>(picture);
  else
    invert<float>(picture);
}

// Asking for the stored corner makes libtiff leave the rows and columns as they are stored.
std::uint16_t stored_corner(int orientation) {
  constexpr std::array<std::uint16_t, 4> corners{ORIENTATION_TOPLEFT, ORIENTATION_TOPRIGHT,
                                                 ORIENTATION_BOTRIGHT, ORIENTATION_BOTLEFT};
  return corners[static_cast<std::size_t>((orientation - 1) % 4)];
}

void read_converted(TIFF* tiff, const Layout& l, const PictureFile& file, const Stream& stream,
                    StoredPicture& picture) {
  char why[1024] = {};
  if (TIFFRGBAImageOK(tiff, why) == 0)
    refuse(file.path, fmt::format("is a TIFF picture of a rare variety, with {} bits a sample", l.bits),
           "save it as 8 or 16-bit RGB");
  picture.kind = SampleKind::byte;
  picture.model = ColourModel::rgb;
  picture.alpha = has_alpha(l);
  const std::size_t count =
      static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height);
  std::vector<std::uint32_t> raster(count);
  if (TIFFReadRGBAImageOriented(tiff, static_cast<std::uint32_t>(picture.width),
                                static_cast<std::uint32_t>(picture.height), raster.data(),
                                stored_corner(picture.orientation), 1) == 0)
    refuse_tiff(file, stream);
  picture.allocate();
  std::uint8_t* out = picture.samples.data();
  for (const std::uint32_t pixel : raster) {
    *out++ = static_cast<std::uint8_t>(TIFFGetR(pixel));
    *out++ = static_cast<std::uint8_t>(TIFFGetG(pixel));
    *out++ = static_cast<std::uint8_t>(TIFFGetB(pixel));
    if (picture.alpha)
      *out++ = static_cast<std::uint8_t>(TIFFGetA(pixel));
  }
  if (picture.alpha)  // libtiff multiplies it in
    divide_by_alpha(picture);
}

void take_profile(TIFF* tiff, ColourTag& colour) {
  std::uint32_t size = 0;
  void* data = nullptr;
  if (TIFFGetField(tiff, TIFFTAG_ICCPROFILE, &size, &data) == 0 || data == nullptr)
    return;
  const auto* bytes = static_cast<const std::uint8_t*>(data);
  colour.icc.assign(bytes, bytes + size);
}

// A smaller copy of the same picture in a further directory is not a page.
bool has_more_pages(TIFF* tiff) {
  while (TIFFReadDirectory(tiff) != 0) {
    if ((field<std::uint32_t>(tiff, TIFFTAG_SUBFILETYPE, 0) & (FILETYPE_REDUCEDIMAGE | FILETYPE_MASK)) == 0)
      return true;
  }
  return false;
}

}  // namespace

StoredPicture decode_tiff(const PictureFile& file, const PictureLimits& limits) {
  Stream stream{file.bytes};
  const Tiff tiff = open(stream);
  if (!tiff && stream.ended_early)
    refuse_cut_short(file.path);
  if (!tiff)
    refuse_damaged(file.path, "its list of parts makes no sense");
  if ((field<std::uint32_t>(tiff.get(), TIFFTAG_SUBFILETYPE, 0) & FILETYPE_REDUCEDIMAGE) != 0)
    refuse(file.path, "begins with a preview only, as camera raw files do",
           "develop it and save it as TIFF or JPEG");
  const auto width = field<std::uint32_t>(tiff.get(), TIFFTAG_IMAGEWIDTH, 0);
  const auto height = field<std::uint32_t>(tiff.get(), TIFFTAG_IMAGELENGTH, 0);
  check_size(file.path, width, height, limits);

  StoredPicture picture;
  picture.width = static_cast<int>(width);
  picture.height = static_cast<int>(height);
  take_orientation(picture, field<std::uint16_t>(tiff.get(), TIFFTAG_ORIENTATION, ORIENTATION_TOPLEFT));
  take_profile(tiff.get(), picture.colour);

  const Layout l = layout_of(tiff.get());
  if (take_model(tiff.get(), l, picture)) {
    const bool together = l.planar == PLANARCONFIG_CONTIG;
    picture.allocate();
    const auto read = TIFFIsTiled(tiff.get()) != 0 ? read_tiles : read_lines;
    if (!read(tiff.get(), l, picture, together ? 1 : picture.channels(), together ? l.channels : 1))
      refuse_tiff(file, stream);
    normalise(picture, l);
  } else {
    read_converted(tiff.get(), l, file, stream, picture);
  }
  if (has_more_pages(tiff.get()))
    picture.notes.emplace_back("several pages: the first one is taken");
  return picture;
}

}  // namespace powderplan
