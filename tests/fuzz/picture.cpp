// Pictures of all kinds, from the bytes of a file to linear light.
#include "raster/picture.h"

#include <cmath>

#include "fuzz/file_of_bytes.h"
#include "fuzz/target.h"

using namespace powderplan;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static fuzz::FileOfBytes file;
  file.hold(data, size);
  return fuzz::answered([&] {
    PictureLimits limits;
    limits.most_pixels = 1 << 18;
    const Picture picture = read_picture(file.path(), limits);
    fuzz::promise(picture.pixels.size() > 0 && picture.pixels.size() <= limits.most_pixels,
                  "a picture that is taken is within the limit");
    for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
      const LinearPixel& pixel = picture.pixels[i];
      fuzz::promise(std::isfinite(pixel.r) && std::isfinite(pixel.g) && std::isfinite(pixel.b),
                    "the pixels of a picture that is taken are numbers");
    }
  });
}
