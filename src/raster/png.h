// PNG files that know their true size and colour space (libpng).
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <vector>

#include "colour/tristimulus.h"
#include "raster/picture_rows.h"

namespace powderplan {

// How a PNG is deflated: `small` for pages and previews, `fast` for large layers.
enum class PngEffort { fast, small };

// Both write pHYs from the pitch (so the picture prints at true size). Colour pictures carry the sRGB
// chunk with its companions gAMA and cHRM; a layer is data, a linear amount, and carries gAMA 1.0.
// The same picture always gives the same bytes: no time stamps, fixed filters.
std::vector<std::uint8_t> encode_png(const Image<Rgb8>& picture, Millimetres pitch,
                                     PngEffort effort = PngEffort::small);
std::vector<std::uint8_t> encode_png(const Image<std::uint16_t>& layer, Millimetres pitch,
                                     PngEffort effort = PngEffort::fast);

// The same bytes, of a picture that is made while it is written. What its rows throw comes out here.
std::vector<std::uint8_t> encode_png(const PictureRows<Rgb8>& picture, Millimetres pitch,
                                     PngEffort effort = PngEffort::small);
std::vector<std::uint8_t> encode_png(const PictureRows<std::uint16_t>& layer, Millimetres pitch,
                                     PngEffort effort = PngEffort::fast);

// A layer read back as its values, untouched by any gamma. Throws Problem (input) with `name` as its place
// for a file that is damaged, too large (most_layer_pixels) or not 16-bit grey.
Image<std::uint16_t> decode_layer_png(const std::vector<std::uint8_t>& bytes,
                                      const std::filesystem::path& name);
inline constexpr std::uint64_t most_layer_pixels = 400'000'000;

// As the header says; nothing where the bytes begin no PNG.
struct PngSize {
  std::uint32_t width, height;
};
std::optional<PngSize> size_of_png(const std::vector<std::uint8_t>& bytes);

}  // namespace powderplan
