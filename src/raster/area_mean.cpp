#include "raster/area_mean.h"

#include <algorithm>
#include <cmath>

namespace powderplan {

std::vector<AreaMean::Part> AreaMean::parts(int length, int new_length) {
  std::vector<Part> all;
  const double step = static_cast<double>(new_length) / length;
  for (int i = 0; i < length; ++i) {
    const int place = std::min(new_length - 1, static_cast<int>(i * step));
    const double end = (i + 1) * step - (place + 1);
    const double rest = place + 1 < new_length ? std::max(0.0, end) : 0;
    all.push_back({place, static_cast<float>(step - rest), static_cast<float>(rest)});
  }
  return all;
}

AreaMean::AreaMean(int width, int height, int channels, int new_width, int new_height)
    : AreaMean(width, height, channels, new_width, new_height, 0, new_height) {}

AreaMean::AreaMean(int width, int height, int channels, int new_width, int new_height, int begin, int end)
    : channels_(channels),
      begin_(begin),
      across_(parts(width, new_width)),
      down_(parts(height, new_height)),
      mean_(new_width * channels, end - begin, 0.0F) {
  const auto reaches = [&](const Part& part) {
    return part.place + (part.rest > 0 ? 1 : 0) >= begin && part.place < end;
  };
  const auto first = std::find_if(down_.begin(), down_.end(), reaches);
  first_ = next_ = static_cast<int>(first - down_.begin());
  end_ = static_cast<int>(std::find_if_not(first, down_.end(), reaches) - down_.begin());
}

void AreaMean::add_to(int row, float share) {
  if (row < begin_ || row >= begin_ + mean_.height())
    return;
  float* const to = mean_.row(row - begin_);
  for (std::size_t i = 0; i < static_cast<std::size_t>(mean_.width()); ++i)
    to[i] += share * line_[i];
}

void AreaMean::add(const float* row) {
  // One pixel more than there is takes the last one's rest, which is 0.
  const auto channels = static_cast<std::size_t>(channels_);
  line_.assign(static_cast<std::size_t>(mean_.width()) + channels, 0.0F);
  for (std::size_t x = 0; x < across_.size(); ++x) {
    const Part& part = across_[x];
    float* const to = line_.data() + static_cast<std::size_t>(part.place) * channels;
    for (std::size_t c = 0; c < channels; ++c) {
      const float value = row[x * channels + c];
      to[c] += part.first * value;
      to[channels + c] += part.rest * value;
    }
  }
  const Part& part = down_[static_cast<std::size_t>(next_++)];
  add_to(part.place, part.first);
  if (part.rest > 0)
    add_to(part.place + 1, part.rest);
}

}  // namespace powderplan
