// jpeglib.h needs the size_t and FILE of cstdio; jerror.h numbers its codes by what jpeglib.h defines.
// clang-format off
#include <cstdio>
#include <jpeglib.h>
#include <jerror.h>
// clang-format on

#include <fmt/format.h>

#include <csetjmp>
#include <cstdlib>
#include <cstring>
#include <memory>

#include "raster/decoders.h"
#include "raster/exif_orientation.h"

namespace powderplan {
namespace {

struct Complaints {
  jpeg_error_mgr manager;  // first, so that libjpeg's pointer to it is a pointer to us
  std::jmp_buf way_out;
  int code;  // of the first thing that spoils the picture; 0 when there is none
  bool cut_short, bad_profile;
};

Complaints& complaints_of(j_common_ptr state) {
  return *reinterpret_cast<Complaints*>(state->err);
}

[[noreturn]] void on_error(j_common_ptr state) {
  Complaints& complaints = complaints_of(state);
  complaints.code = complaints.manager.msg_code;
  std::longjmp(complaints.way_out, 1);
}

// libjpeg goes on after a warning and fills what is missing with grey. All but these say that pixels are
// wrong.
bool spoils_pixels(int code) {
  switch (code) {
    case JWRN_ADOBE_XFORM:
    case JWRN_BOGUS_ICC:
    case JWRN_BOGUS_PROGRESSION:
    case JWRN_EXTRANEOUS_DATA:
    case JWRN_JFIF_MAJOR:
    case JWRN_NOT_SEQUENTIAL:
    case JWRN_TOO_MUCH_DATA:
      return false;
    default:
      return true;
  }
}

void on_message(j_common_ptr state, int level) {
  if (level >= 0)
    return;
  Complaints& complaints = complaints_of(state);
  const int code = complaints.manager.msg_code;
  complaints.cut_short = complaints.cut_short || code == JWRN_JPEG_EOF;
  complaints.bad_profile = complaints.bad_profile || code == JWRN_BOGUS_ICC;
  if (spoils_pixels(code) && complaints.code == 0)
    complaints.code = code;
}

// libjpeg leaves by longjmp, so every step that calls it runs inside step() and holds nothing there
// that needs a destructor.
class Reader {
 public:
  explicit Reader(Bytes bytes) {
    state_.err = jpeg_std_error(&complaints_.manager);
    complaints_.manager.error_exit = on_error;
    complaints_.manager.emit_message = on_message;
    if (!step([bytes](jpeg_decompress_struct& state) {
          jpeg_create_decompress(&state);
          jpeg_mem_src(&state, bytes.data(), bytes.size());
          jpeg_save_markers(&state, JPEG_APP0 + 1, 0xffff);
          jpeg_save_markers(&state, JPEG_APP0 + 2, 0xffff);
        })) {
      jpeg_destroy_decompress(&state_);
      throw std::bad_alloc();
    }
  }
  ~Reader() { jpeg_destroy_decompress(&state_); }
  Reader(const Reader&) = delete;
  Reader& operator=(const Reader&) = delete;

  template <class F>
  bool step(F&& call) {
    if (setjmp(complaints_.way_out) != 0)
      return false;
    call(state_);
    return true;
  }
  jpeg_decompress_struct& state() { return state_; }
  [[nodiscard]] const Complaints& complaints() const { return complaints_; }

 private:
  Complaints complaints_{};
  jpeg_decompress_struct state_{};
};

[[noreturn]] void refuse_jpeg(const PictureFile& file, const Complaints& complaints) {
  if (complaints.cut_short)
    refuse_cut_short(file.path);
  // libjpeg's own words are for programmers.
  switch (complaints.code) {
    case JERR_ARITH_NOTIMPL:
    case JERR_BAD_PRECISION:
    case JERR_CCIR601_NOTIMPL:
    case JERR_COMPONENT_COUNT:
    case JERR_CONVERSION_NOTIMPL:
    case JERR_FRACT_SAMPLE_NOTIMPL:
    case JERR_NOTIMPL:
    case JERR_NOT_COMPILED:
    case JERR_SOF_UNSUPPORTED:
      refuse_kind(file.path, "a JPEG picture of a rare variety");
    case JERR_EMPTY_IMAGE:
      refuse(file.path, "has no pixels", "copy or export the picture again");
    case JERR_IMAGE_TOO_BIG:
      refuse(file.path, fmt::format("has an edge of more than {} pixels", JPEG_MAX_DIMENSION),
             "cut the picture to the part you need");
    case JWRN_HIT_MARKER:
    case JWRN_HUFF_BAD_CODE:
      refuse_damaged(file.path, "its pixels cannot be unpacked");
    case JERR_OUT_OF_MEMORY:
      throw std::bad_alloc();
    default:
      refuse_damaged(file.path, "");
  }
}

void choose_output(jpeg_decompress_struct& state, StoredPicture& picture) {
  switch (state.jpeg_color_space) {
    case JCS_GRAYSCALE:
      state.out_color_space = JCS_GRAYSCALE;
      picture.model = ColourModel::grey;
      break;
    case JCS_CMYK:
    case JCS_YCCK:
      state.out_color_space = JCS_CMYK;
      picture.model = ColourModel::cmyk;
      break;
    default:
      state.out_color_space = JCS_RGB;
      picture.model = ColourModel::rgb;
  }
}

void take_profile(Reader& reader, ColourTag& colour) {
  JOCTET* data = nullptr;
  unsigned size = 0;
  const bool done = reader.step(
      [&data, &size](jpeg_decompress_struct& state) { jpeg_read_icc_profile(&state, &data, &size); });
  const std::unique_ptr<JOCTET, decltype(&std::free)> owner(data, std::free);
  if (done && data != nullptr)
    colour.icc.assign(data, data + size);
  colour.icc_damaged = colour.icc.empty() && (!done || reader.complaints().bad_profile);
}

int orientation_of(const jpeg_decompress_struct& state) {
  for (const jpeg_marker_struct* marker = state.marker_list; marker != nullptr; marker = marker->next) {
    const Bytes data(marker->data, marker->data_length);
    if (marker->marker == JPEG_APP0 + 1 && has_text(data, 0, "Exif"))
      return exif_orientation(data);
  }
  return 1;
}

// Adobe's writers store 255 - ink; its APP14 marker is the one sign of it (Adobe TN 5116).
void set_ink_direction(const jpeg_decompress_struct& state, StoredPicture& picture) {
  if (picture.model != ColourModel::cmyk || !state.saw_Adobe_marker)
    return;
  for (std::uint8_t& sample : picture.samples)
    sample = static_cast<std::uint8_t>(255 - sample);
}

}  // namespace

StoredPicture decode_jpeg(const PictureFile& file, const PictureLimits& limits) {
  Reader reader(file.bytes);
  if (!reader.step([](jpeg_decompress_struct& state) { jpeg_read_header(&state, TRUE); }))
    refuse_jpeg(file, reader.complaints());
  jpeg_decompress_struct& state = reader.state();
  check_size(file.path, state.image_width, state.image_height, limits);

  StoredPicture picture;
  picture.width = static_cast<int>(state.image_width);
  picture.height = static_cast<int>(state.image_height);
  choose_output(state, picture);
  take_profile(reader, picture.colour);
  take_orientation(picture, orientation_of(state));
  picture.allocate();
  std::uint8_t* const samples = picture.samples.data();
  const std::size_t row_bytes = picture.row_bytes();
  const bool done = reader.step([samples, row_bytes](jpeg_decompress_struct& s) {
    jpeg_start_decompress(&s);
    while (s.output_scanline < s.output_height) {
      JSAMPROW row = samples + row_bytes * s.output_scanline;
      jpeg_read_scanlines(&s, &row, 1);
    }
    jpeg_finish_decompress(&s);
  });
  if (!done || reader.complaints().cut_short || reader.complaints().code != 0)
    refuse_jpeg(file, reader.complaints());
  set_ink_direction(state, picture);
  return picture;
}

}  // namespace powderplan
