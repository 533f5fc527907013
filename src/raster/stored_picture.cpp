#include "raster/stored_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <type_traits>

namespace powderplan {
namespace {

template <class T, class F>
void change_pixels(StoredPicture& picture, F&& change) {
  const std::size_t channels = static_cast<std::size_t>(picture.channels());
  std::vector<T> pixel(channels);
  for (std::size_t at = 0; at < picture.samples.size(); at += channels * sizeof(T)) {
    std::memcpy(pixel.data(), picture.samples.data() + at, channels * sizeof(T));
    change(pixel);
    std::memcpy(picture.samples.data() + at, pixel.data(), channels * sizeof(T));
  }
}

template <class T>
void divide(StoredPicture& picture) {
  const std::size_t colours = static_cast<std::size_t>(picture.model);
  change_pixels<T>(picture, [colours](std::vector<T>& pixel) {
    constexpr double full =
        std::is_floating_point_v<T> ? 1.0 : static_cast<double>(std::numeric_limits<T>::max());
    const double alpha = static_cast<double>(pixel[colours]) / full;
    if (!(alpha > 0))
      return;
    for (std::size_t i = 0; i < colours; ++i) {
      const double value = static_cast<double>(pixel[i]) / alpha;
      pixel[i] = static_cast<T>(std::is_floating_point_v<T> ? value : std::min(full, value + 0.5));
    }
  });
}

}  // namespace

void divide_by_alpha(StoredPicture& picture) {
  if (picture.kind == SampleKind::byte)
    divide<std::uint8_t>(picture);
  else if (picture.kind == SampleKind::word)
    divide<std::uint16_t>(picture);
  else
    divide<float>(picture);
}

void cut_to_white(StoredPicture& picture) {
  const std::size_t colours = static_cast<std::size_t>(picture.model);
  std::size_t brighter = 0;
  float brightest = 1;
  change_pixels<float>(picture, [&](std::vector<float>& pixel) {
    bool cut = false;
    for (std::size_t i = 0; i < colours; ++i) {
      if (!std::isfinite(pixel[i]) || pixel[i] <= 1)
        continue;
      brightest = std::max(brightest, pixel[i]);
      pixel[i] = 1;
      cut = true;
    }
    brighter += cut ? 1 : 0;
  });
  if (brighter > 0)
    picture.notes.push_back(
        fmt::format("{} of {} pixels are brighter than white (up to {:.3g} times): cut to white", brighter,
                    static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height),
                    static_cast<double>(brightest)));
}

}  // namespace powderplan
