// jpeglib.h needs the size_t and FILE of cstdio.
// clang-format off
#include <cstdio>
#include <jpeglib.h>
// clang-format on

#include <fmt/format.h>

#include <algorithm>
#include <csetjmp>
#include <new>
#include <string>

#include "problem.h"
#include "raster/jpeg.h"

namespace powderplan {
namespace {

static_assert(most_jpeg_side == JPEG_MAX_DIMENSION);

struct Complaints {
  jpeg_error_mgr manager;  // first, so that libjpeg's pointer to it is a pointer to us
  std::jmp_buf way_out;
  char words[JMSG_LENGTH_MAX] = {};  // none when memory is short
};

[[noreturn]] void give_up(j_common_ptr state) {
  std::longjmp(reinterpret_cast<Complaints*>(state->err)->way_out, 1);
}

[[noreturn]] void on_error(j_common_ptr state) {
  state->err->format_message(state, reinterpret_cast<Complaints*>(state->err)->words);
  give_up(state);
}

// Where the bytes go: a vector that grows, and is ours on every way out. (libjpeg's own destination in memory
// frees its buffer when it grows and tells the new one only at the end.)
struct Sink {
  jpeg_destination_mgr manager;  // first, as above
  std::vector<std::uint8_t>* bytes;
};

// No exception may pass through libjpeg.
bool grown(Sink& sink, std::size_t size) {
  const std::size_t filled = sink.bytes->size();
  try {
    sink.bytes->resize(size);
  } catch (const std::bad_alloc&) {
    return false;
  }
  sink.manager.next_output_byte = sink.bytes->data() + filled;
  sink.manager.free_in_buffer = size - filled;
  return true;
}

void begin(j_compress_ptr state) {
  constexpr std::size_t first_bytes = 65536;
  auto& sink = *reinterpret_cast<Sink*>(state->dest);
  sink.bytes->clear();
  if (!grown(sink, first_bytes))
    give_up(reinterpret_cast<j_common_ptr>(state));
}

// All that was free is filled.
boolean go_on(j_compress_ptr state) {
  auto& sink = *reinterpret_cast<Sink*>(state->dest);
  if (!grown(sink, 2 * sink.bytes->size()))
    give_up(reinterpret_cast<j_common_ptr>(state));
  return TRUE;
}

void end(j_compress_ptr state) {
  const auto& sink = *reinterpret_cast<Sink*>(state->dest);
  sink.bytes->resize(sink.bytes->size() - sink.manager.free_in_buffer);
}

// libjpeg leaves by longjmp, so nothing here needs a destructor. False when it gave up.
bool write(const Image<Rgb8>& picture, int quality, std::vector<std::uint8_t>& bytes,
           Complaints& complaints) {
  jpeg_compress_struct state{};
  Sink sink{};
  sink.bytes = &bytes;
  sink.manager.init_destination = begin;
  sink.manager.empty_output_buffer = go_on;
  sink.manager.term_destination = end;
  state.err = jpeg_std_error(&complaints.manager);
  complaints.manager.error_exit = on_error;
  if (setjmp(complaints.way_out) != 0) {
    jpeg_destroy_compress(&state);
    return false;
  }
  jpeg_create_compress(&state);
  state.dest = &sink.manager;
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
  if (std::max(picture.width(), picture.height()) > most_jpeg_side)
    throw Problem(ProblemKind::other, "JPEG",
                  fmt::format("a picture of {} x {} pixels has more than {} a side", picture.width(),
                              picture.height(), most_jpeg_side),
                  "make it smaller, or its grid coarser with --pitch-mm");
  std::vector<std::uint8_t> jpeg;
  Complaints complaints{};
  if (write(picture, quality, jpeg, complaints))
    return jpeg;
  if (complaints.words[0] == '\0')
    throw std::bad_alloc();
  throw Problem(ProblemKind::other, "JPEG", std::string("cannot be written: ") + complaints.words,
                "free memory and try again");
}

}  // namespace powderplan
