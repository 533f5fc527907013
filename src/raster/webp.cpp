#include "raster/webp.h"

#include <webp/encode.h>

#include <memory>

#include "problem.h"

namespace powderplan {
namespace {

// Of libwebp's 0..6: beyond these a few bytes less take much longer.
constexpr int lossless_method = 3, show_method = 3;
constexpr float lossless_effort = 40;    // of 100
constexpr int marks_near_lossless = 20;  // of 100, which gives up nothing

[[noreturn]] void fail(int code) {
  throw Problem(ProblemKind::other, "a picture of the worksheet",
                "cannot be stored as WebP (libwebp says " + std::to_string(code) + ")",
                "plan a smaller piece, or with a larger --pitch-mm");
}

struct Freed {
  void operator()(WebPPicture* picture) const { WebPPictureFree(picture); }
};

std::vector<std::uint8_t> encoded(const Image<Rgb8>& image, const WebPConfig& config) {
  WebPPicture picture;
  if (!WebPPictureInit(&picture))
    fail(-1);
  const std::unique_ptr<WebPPicture, Freed> held(&picture);
  picture.use_argb = config.lossless;
  picture.width = image.width();
  picture.height = image.height();
  static_assert(sizeof(Rgb8) == 3);
  if (image.empty() ||
      !WebPPictureImportRGB(&picture, reinterpret_cast<const std::uint8_t*>(image.data()), 3 * image.width()))
    fail(picture.error_code);
  std::vector<std::uint8_t> bytes;
  picture.custom_ptr = &bytes;
  picture.writer = [](const std::uint8_t* data, std::size_t size, const WebPPicture* of) {
    auto* into = static_cast<std::vector<std::uint8_t>*>(of->custom_ptr);
    into->insert(into->end(), data, data + size);
    return 1;
  };
  if (!WebPEncode(&config, &picture))
    fail(picture.error_code);
  return bytes;
}

WebPConfig lossless() {
  WebPConfig config;
  if (!WebPConfigInit(&config))
    fail(-1);
  config.lossless = 1;
  config.method = lossless_method;
  config.quality = lossless_effort;
  return config;
}

}  // namespace

std::vector<std::uint8_t> encode_webp(const Image<Rgb8>& picture) {
  return encoded(picture, lossless());
}

std::vector<std::uint8_t> encode_webp_with_marks(const Image<Rgb8>& picture) {
  WebPConfig config = lossless();
  config.near_lossless = marks_near_lossless;
  return encoded(picture, config);
}

std::vector<std::uint8_t> encode_webp(const Image<std::uint8_t>& grey) {
  Image<Rgb8> picture(grey.width(), grey.height());
  for (std::size_t i = 0; i < grey.size(); ++i)
    picture[i] = {grey[i], grey[i], grey[i]};
  return encode_webp(picture);
}

std::vector<std::uint8_t> encode_webp_for_show(const Image<Rgb8>& picture, float quality) {
  WebPConfig config;
  if (!WebPConfigPreset(&config, WEBP_PRESET_DRAWING, quality))
    fail(-1);
  config.method = show_method;
  return encoded(picture, config);
}

}  // namespace powderplan
