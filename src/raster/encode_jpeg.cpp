// jpeglib.h needs the size_t and FILE of cstdio.
// clang-format off
#include <cstdio>
#include <jpeglib.h>
// clang-format on

#include <csetjmp>
#include <cstdlib>
#include <new>

#include "raster/jpeg.h"

namespace powderplan {
namespace {

struct Complaints {
  jpeg_error_mgr manager;  // first, so that libjpeg's pointer to it is a pointer to us
  std::jmp_buf way_out;
};

[[noreturn]] void on_error(j_common_ptr state) {
  std::longjmp(reinterpret_cast<Complaints*>(state->err)->way_out, 1);
}

// libjpeg leaves by longjmp, so nothing here needs a destructor. False when memory is short.
bool write(const Image<Rgb8>& picture, int quality, unsigned char*& bytes, unsigned long& size) {
  jpeg_compress_struct state{};
  Complaints complaints{};
  state.err = jpeg_std_error(&complaints.manager);
  complaints.manager.error_exit = on_error;
  if (setjmp(complaints.way_out) != 0) {
    jpeg_destroy_compress(&state);
    return false;
  }
  jpeg_create_compress(&state);
  jpeg_mem_dest(&state, &bytes, &size);
  state.image_width = static_cast<JDIMENSION>(picture.width());
  state.image_height = static_cast<JDIMENSION>(picture.height());
  state.input_components = 3;
  state.in_color_space = JCS_RGB;
  jpeg_set_defaults(&state);
  jpeg_set_quality(&state, quality, TRUE);
  for (int i = 0; i < state.num_components; ++i)
    state.comp_info[i].h_samp_factor = state.comp_info[i].v_samp_factor = 1;
  state.optimize_coding = TRUE;
  state.dct_method = JDCT_ISLOW;
  jpeg_start_compress(&state, TRUE);
  while (state.next_scanline < state.image_height) {
    const auto y = static_cast<std::size_t>(state.next_scanline);
    static_assert(sizeof(Rgb8) == 3);
    // libjpeg reads the row and does not write to it.
    auto* row = const_cast<JSAMPROW>(
        reinterpret_cast<const JSAMPLE*>(picture.data() + y * static_cast<std::size_t>(picture.width())));
    jpeg_write_scanlines(&state, &row, 1);
  }
  jpeg_finish_compress(&state);
  jpeg_destroy_compress(&state);
  return true;
}

}  // namespace

std::vector<std::uint8_t> encode_jpeg(const Image<Rgb8>& picture, int quality) {
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  const bool written = write(picture, quality, bytes, size);
  std::vector<std::uint8_t> jpeg;
  if (written)
    jpeg.assign(bytes, bytes + size);
  std::free(bytes);
  if (!written)
    throw std::bad_alloc();
  return jpeg;
}

}  // namespace powderplan
