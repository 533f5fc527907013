// JPEG 2000: the boxes of a JP2 file (ISO/IEC 15444-1, annex I) and the beginning of its codestream (annex
// A).
#include <fmt/format.h>
#include <openjpeg.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>
#include <new>

#include "raster/decoders.h"

namespace powderplan {
namespace {

enum : std::uint32_t { space_unknown = 0, space_srgb = 16, space_grey = 17, space_sycc = 18 };

struct Component {
  unsigned bits = 8;
  bool is_signed = false, sampled = false;
};

// What a picture is before its samples are decoded.
struct Header {
  std::uint64_t width = 0, height = 0;
  bool moved = false;  // does not begin at the corner of its grid
  std::vector<Component> components;
  std::uint32_t space = space_unknown;
  bool has_space = false;
  bool has_profile = false;
  bool palette = false, three_byte_palette = false;
  bool multiplied = false;  // the alpha is, into the colours
  ColourTag colour;
};

struct Box {
  std::string_view type;
  std::size_t at = 0;  // of its contents in the file
  Bytes contents;
  std::size_t end = 0;
};

// The box at `at`; a length of 0 reaches to the end.
Box box_at(const PictureFile& file, std::size_t at, std::size_t end) {
  const Bytes b = file.bytes;
  if (end - at < 8)
    refuse_cut_short(file.path);
  std::uint64_t size = big_endian_32(b, at);
  std::size_t header = 8;
  if (size == 1) {
    if (end - at < 16)
      refuse_cut_short(file.path);
    header = 16;
    size = std::uint64_t{big_endian_32(b, at + 8)} << 32 | big_endian_32(b, at + 12);
  }
  if (size == 0)
    size = end - at;
  if (size < header)
    refuse_damaged(file.path, "a box has an impossible length");
  if (size > end - at)
    refuse_cut_short(file.path);
  const std::size_t body = static_cast<std::size_t>(size) - header;
  return {{reinterpret_cast<const char*>(b.data()) + at + 4, 4},
          at + header,
          b.subspan(at + header, body),
          at + header + body};
}

// Only the first colour specification counts.
void read_colour(const Box& box, Header& h) {
  const Bytes c = box.contents;
  if (h.has_space || h.has_profile || c.size() < 3)
    return;
  if (c[0] == 1 && c.size() >= 7) {
    h.space = big_endian_32(c, 3);
    h.has_space = true;
    h.colour.srgb = h.space == space_srgb || h.space == space_sycc;
  } else if (c[0] == 2 || c[0] == 3) {
    h.has_profile = true;
    h.colour.icc.assign(c.begin() + 3, c.end());
  }
}

// Type 1 is alpha, 2 is alpha that was multiplied into the colours.
void read_channel_definitions(Bytes c, Header& h) {
  for (std::size_t at = 2; at + 6 <= c.size(); at += 6) {
    const std::uint32_t type = big_endian_16(c, at + 2);
    h.multiplied |= type == 2;
  }
}

void read_palette(Bytes c, Header& h) {
  h.palette = true;
  h.three_byte_palette = c.size() >= 6 && c[2] == 3 && c[3] == 7 && c[4] == 7 && c[5] == 7;
}

void read_header_boxes(const PictureFile& file, const Box& parent, Header& h) {
  for (std::size_t at = parent.at; at < parent.end;) {
    const Box box = box_at(file, at, parent.end);
    if (box.type == "colr")
      read_colour(box, h);
    else if (box.type == "cdef")
      read_channel_definitions(box.contents, h);
    else if (box.type == "pclr")
      read_palette(box.contents, h);
    at = box.end;
  }
}

// The codestream, whole or within boxes.
Bytes find_codestream(const PictureFile& file, Header& h) {
  const Bytes b = file.bytes;
  if (b[0] == 0xff)
    return b;
  for (std::size_t at = 0; at < b.size();) {
    const Box box = box_at(file, at, b.size());
    if (box.type == "jp2h")
      read_header_boxes(file, box, h);
    else if (box.type == "jp2c")
      return box.contents;
    at = box.end;
  }
  refuse_cut_short(file.path);
}

// SIZ, the first segment.
void read_size(const PictureFile& file, Bytes c, Header& h) {
  constexpr std::size_t components_at = 42;
  if (c.size() < components_at)
    refuse_cut_short(file.path);
  if (!has_text(c, 0, "\xff\x4f\xff\x51"))
    refuse_damaged(file.path, "its codestream does not begin with its size");
  const std::uint64_t right = big_endian_32(c, 8), below = big_endian_32(c, 12);
  const std::uint64_t left = big_endian_32(c, 16), above = big_endian_32(c, 20);
  h.moved = left != 0 || above != 0;
  h.width = right > left ? right - left : 0;
  h.height = below > above ? below - above : 0;
  const std::size_t count = big_endian_16(c, 40);
  if (c.size() < components_at + 3 * count)
    refuse_cut_short(file.path);
  for (std::size_t i = 0; i < count; ++i) {
    const Bytes one = c.subspan(components_at + 3 * i, 3);
    h.components.push_back({(one[0] & 0x7fu) + 1, (one[0] & 0x80u) != 0, one[1] != 1 || one[2] != 1});
  }
}

// A codestream ends with its own marker; zeros may follow.
void check_end(const PictureFile& file, Bytes c) {
  std::size_t size = c.size();
  while (size > 0 && c[size - 1] == 0)
    --size;
  if (size < 2 || c[size - 2] != 0xff || c[size - 1] != 0xd9)
    refuse_cut_short(file.path);
}

void refuse_variety(const PictureFile& file, std::string_view with) {
  refuse_kind(file.path, fmt::format("a JPEG 2000 picture with {}", with));
}

void check_readable(const PictureFile& file, const Header& h) {
  constexpr std::uint32_t cmyk = 12;
  if (h.space == cmyk)
    refuse_variety(file, "CMYK colours");
  if (h.has_space && h.space != space_srgb && h.space != space_grey && h.space != space_sycc)
    refuse_variety(file, fmt::format("colours of space {}", h.space));
  if (h.palette && (!h.three_byte_palette || h.components.size() != 1))
    refuse_variety(file, "an unusual palette");
  if (h.components.empty() || h.components.size() > 4)
    refuse_variety(file, fmt::format("{} components", h.components.size()));
  for (const Component& c : h.components) {
    if (c.is_signed)
      refuse_variety(file, "signed samples");
    if (c.bits < 8 || c.bits > 16)
      refuse_variety(file, fmt::format("samples of {} bits", c.bits));
    if (c.sampled || h.moved)
      refuse_variety(file, "colours at less than its full size");
  }
}

std::uint32_t sample(const StoredPicture& picture, std::size_t i) {
  if (picture.kind == SampleKind::byte)
    return picture.samples[i];
  std::uint16_t value = 0;
  std::memcpy(&value, picture.samples.data() + 2 * i, sizeof value);
  return value;
}

void set_sample(StoredPicture& picture, std::size_t i, std::uint32_t value) {
  if (picture.kind == SampleKind::byte) {
    picture.samples[i] = static_cast<std::uint8_t>(value);
    return;
  }
  const auto word = static_cast<std::uint16_t>(value);
  std::memcpy(picture.samples.data() + 2 * i, &word, sizeof word);
}

// 9 to 15 bits come as they are stored.
void bring_to_full_scale(const Header& h, StoredPicture& picture) {
  if (picture.kind == SampleKind::byte ||
      std::ranges::all_of(h.components, [](const Component& c) { return c.bits == 16; }))
    return;
  const std::size_t channels = static_cast<std::size_t>(picture.channels());
  for (std::size_t i = 0; i < picture.samples.size() / 2; ++i) {
    const std::uint32_t most = (1u << h.components[i % channels].bits) - 1;
    set_sample(picture, i, (std::min(sample(picture, i), most) * 65535u + most / 2) / most);
  }
}

// IEC 61966-2-1, annex F, for sYCC.
void sycc_to_rgb(StoredPicture& picture) {
  const double full = picture.kind == SampleKind::byte ? 255 : 65535;
  const double middle = (full + 1) / 2;
  const std::size_t channels = static_cast<std::size_t>(picture.channels());
  for (std::size_t i = 0; i < picture.samples.size() / picture.sample_bytes(); i += channels) {
    const double y = sample(picture, i);
    const double cb = sample(picture, i + 1) - middle, cr = sample(picture, i + 2) - middle;
    const auto put = [&](std::size_t at, double value) {
      set_sample(picture, i + at, static_cast<std::uint32_t>(std::lround(std::clamp(value, 0.0, full))));
    };
    put(0, y + 1.402 * cr);
    put(1, y - 0.344136 * cb - 0.714136 * cr);
    put(2, y + 1.772 * cb);
  }
}

void take_model(const Header& h, StoredPicture& picture) {
  const bool words = std::ranges::any_of(h.components, [](const Component& c) { return c.bits > 8; });
  picture.kind = words ? SampleKind::word : SampleKind::byte;
  if (h.palette) {
    picture.model = ColourModel::rgb;
    picture.kind = SampleKind::byte;
    return;
  }
  const std::size_t count = h.components.size();
  picture.model = count >= 3 ? ColourModel::rgb : ColourModel::grey;
  picture.alpha = count == 2 || count == 4;
}

// The bytes as the library reads them: where it stands in them.
struct Source {
  Bytes bytes;
  std::size_t at = 0;
};

OPJ_SIZE_T read_on(void* to, OPJ_SIZE_T size, void* user) {
  Source& source = *static_cast<Source*>(user);
  const std::size_t count = std::min<std::size_t>(size, source.bytes.size() - source.at);
  if (count == 0)
    return static_cast<OPJ_SIZE_T>(-1);
  std::memcpy(to, source.bytes.data() + source.at, count);
  source.at += count;
  return count;
}
OPJ_OFF_T skip_on(OPJ_OFF_T by, void* user) {
  Source& source = *static_cast<Source*>(user);
  if (by < 0 || static_cast<std::uint64_t>(by) > source.bytes.size() - source.at)
    return -1;
  source.at += static_cast<std::size_t>(by);
  return by;
}
OPJ_BOOL seek_to(OPJ_OFF_T at, void* user) {
  Source& source = *static_cast<Source*>(user);
  if (at < 0 || static_cast<std::uint64_t>(at) > source.bytes.size())
    return OPJ_FALSE;
  source.at = static_cast<std::size_t>(at);
  return OPJ_TRUE;
}

template <auto destroy>
struct Destroy {
  template <class T>
  void operator()(T* one) const {
    destroy(one);
  }
};
using Codec = std::unique_ptr<opj_codec_t, Destroy<opj_destroy_codec>>;
using Stream = std::unique_ptr<opj_stream_t, Destroy<opj_stream_destroy>>;
using Decoded = std::unique_ptr<opj_image_t, Destroy<opj_image_destroy>>;

// Nothing where OpenJPEG gives up. It says nothing unless it is asked to. The numbers of a palette are
// replaced by its colours, and the channels put into their order.
Decoded decoded(Bytes bytes) {
  Source source{bytes};
  const Codec codec(opj_create_decompress(bytes[0] == 0xff ? OPJ_CODEC_J2K : OPJ_CODEC_JP2));
  const Stream stream(opj_stream_default_create(OPJ_TRUE));
  if (!codec || !stream)
    throw std::bad_alloc();
  opj_stream_set_user_data(stream.get(), &source, nullptr);
  opj_stream_set_user_data_length(stream.get(), bytes.size());
  opj_stream_set_read_function(stream.get(), read_on);
  opj_stream_set_skip_function(stream.get(), skip_on);
  opj_stream_set_seek_function(stream.get(), seek_to);
  opj_dparameters_t parameters{};
  opj_set_default_decoder_parameters(&parameters);
  opj_image_t* image = nullptr;
  if (opj_setup_decoder(codec.get(), &parameters) == OPJ_FALSE ||
      opj_read_header(stream.get(), codec.get(), &image) == OPJ_FALSE)
    return nullptr;
  Decoded owned(image);
  if (opj_decode(codec.get(), stream.get(), image) == OPJ_FALSE ||
      opj_end_decompress(codec.get(), stream.get()) == OPJ_FALSE)
    return nullptr;
  return owned;
}

void take_samples(const PictureFile& file, StoredPicture& picture) {
  const Decoded image = decoded(file.bytes);
  const std::size_t channels = static_cast<std::size_t>(picture.channels());
  if (!image || image->numcomps != channels)
    refuse_given_up(file.path);
  const int most = picture.kind == SampleKind::byte ? 255 : 65535;
  picture.allocate();
  const std::size_t pixels = picture.samples.size() / picture.sample_bytes() / channels;
  for (std::size_t c = 0; c < channels; ++c) {
    const opj_image_comp_t& component = image->comps[c];
    if (component.data == nullptr || component.w != static_cast<OPJ_UINT32>(picture.width) ||
        component.h != static_cast<OPJ_UINT32>(picture.height))
      refuse_given_up(file.path);
    for (std::size_t i = 0; i < pixels; ++i)
      set_sample(picture, i * channels + c,
                 static_cast<std::uint32_t>(std::clamp<OPJ_INT32>(component.data[i], 0, most)));
  }
}

}  // namespace

StoredPicture decode_jpeg2000(const PictureFile& file, const PictureLimits& limits) {
  Header h;
  const Bytes codestream = find_codestream(file, h);
  read_size(file, codestream, h);
  check_size(file.path, h.width, h.height, limits);
  check_readable(file, h);
  check_end(file, codestream);

  StoredPicture picture;
  picture.width = static_cast<int>(h.width);
  picture.height = static_cast<int>(h.height);
  picture.colour = h.colour;
  take_model(h, picture);
  take_samples(file, picture);
  bring_to_full_scale(h, picture);
  if (h.space == space_sycc && picture.model == ColourModel::rgb && !h.palette)
    sycc_to_rgb(picture);
  if (picture.alpha && h.multiplied)
    divide_by_alpha(picture);
  return picture;
}

}  // namespace powderplan
