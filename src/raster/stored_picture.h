// A picture as its file stores it: decoded samples, and what the file says about their colour.
// Every decoder makes one of these; to_linear() alone knows what the numbers mean.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace powderplan {

enum class ColourModel { grey = 1, rgb = 3, cmyk = 4 };  // the value is the number of channels
// One sample: 8 bits, 16 bits in the machine's byte order, or a 32-bit float (1.0 = white).
enum class SampleKind { byte, word, real };

struct ColourTag {
  std::vector<std::uint8_t> icc;  // the embedded profile, or empty
  bool icc_damaged = false;       // there is a profile, and not even its bytes are whole
  bool srgb = false;              // says outright that it is sRGB
  // stored = linear ^ gamma (PNG's gAMA: 0.45455 for a usual picture).
  std::optional<double> gamma;
  // x, y of the white, red, green and blue (PNG's cHRM).
  std::optional<std::array<double, 8>> chromaticities;
};

struct StoredPicture {
  int width = 0, height = 0;
  ColourModel model = ColourModel::rgb;
  SampleKind kind = SampleKind::byte;
  bool alpha = false;  // one more channel behind the colours, not multiplied into them
  // Row by row, channels interleaved, no padding. CMYK: 0 = no ink.
  std::vector<std::uint8_t> samples;
  ColourTag colour;
  int orientation = 1;             // EXIF 2.3, tag 0x0112: 1..8
  std::vector<std::string> notes;  // what the user should know

  [[nodiscard]] int channels() const { return static_cast<int>(model) + (alpha ? 1 : 0); }
  [[nodiscard]] std::size_t sample_bytes() const {
    return kind == SampleKind::byte ? 1 : kind == SampleKind::word ? 2 : 4;
  }
  [[nodiscard]] std::size_t pixel_bytes() const {
    return static_cast<std::size_t>(channels()) * sample_bytes();
  }
  [[nodiscard]] std::size_t row_bytes() const { return static_cast<std::size_t>(width) * pixel_bytes(); }
  // Once size, model, kind and alpha are known.
  void allocate() { samples.resize(row_bytes() * static_cast<std::size_t>(height)); }
};

// Colours that came multiplied by their alpha become those of the definition above. Where alpha is 0 they
// stay.
void divide_by_alpha(StoredPicture& picture);
// Float samples only: colours above 1.0 become 1.0, and a note says how many pixels that changed and how
// bright the brightest was. Samples that are not numbers or infinite stay, to be refused.
void cut_to_white(StoredPicture& picture);

}  // namespace powderplan
