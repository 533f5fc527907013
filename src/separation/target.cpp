#include "separation/target.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "parallel.h"

namespace powderplan {
namespace {

constexpr double tail_share = 0.001;
// Chroma below this share of the limit is left alone.
constexpr double chroma_knee = 0.75;

struct Span {
  double low = 0, high = 100;
};

// Lightness at the two tails of the picture, from a histogram of hundredths.
Span lightness_span(const Target& target) {
  std::array<std::size_t, 10001> count{};
  std::size_t total = 0;
  const Image<PackedLab>& picture = target.as_it_is();
  for (std::size_t i = 0; i < picture.size(); ++i) {
    if (target.is_bare(i))
      continue;
    ++count[static_cast<std::size_t>(std::clamp(picture[i].l() * 100.0F, 0.0F, 10000.0F))];
    ++total;
  }
  if (total == 0)
    return {};
  const auto tail = static_cast<std::size_t>(tail_share * static_cast<double>(total));
  const auto at_tail = [&](bool from_top) {
    std::size_t seen = 0;
    for (std::size_t i = 0; i < count.size(); ++i) {
      const std::size_t bin = from_top ? count.size() - 1 - i : i;
      seen += count[bin];
      if (seen > tail)
        return static_cast<double>(bin) / 100;
    }
    return 0.0;
  };
  return {at_tail(false), at_tail(true)};
}

double pressed(double chroma, double limit) {
  if (limit <= 0)
    return 0;
  const double share = chroma / limit;
  if (share <= chroma_knee)
    return chroma;
  constexpr double room = 1 - chroma_knee;
  return limit * (chroma_knee + room * (1 - std::exp(-(share - chroma_knee) / room)));
}

}  // namespace

Target target_of(const FittedRows& picture) {
  Target target;
  target.grid = picture.grid;
  const int width = picture.grid.width, height = picture.grid.height;
  target.wanted = Image<PackedLab>(width, height);
  target.bare = Image<std::uint8_t>(width, height);
  target.alpha = Image<std::uint8_t>(width, height);
  for_each_row_band(height, [&](int begin, int end) {
    std::vector<LinearPixel> row(static_cast<std::size_t>(width));
    for (int y = begin; y < end; ++y) {
      picture.rows.row(y, row.data());
      for (int x = 0; x < width; ++x) {
        const LinearPixel& p = row[static_cast<std::size_t>(x)];
        target.wanted.at(x, y) = to_pixel(to_lab(to_xyz(LinearRgb{p.r, p.g, p.b})));
        target.bare.at(x, y) = p.alpha < 0.5F ? 1 : 0;
        target.alpha.at(x, y) = static_cast<std::uint8_t>(std::lround(std::clamp(p.alpha, 0.0F, 1.0F) * 255));
      }
    }
  });
  const auto all = [](const Image<std::uint8_t>& values, auto&& holds) {
    return std::all_of(values.data(), values.data() + values.size(), holds);
  };
  if (all(target.alpha, [](std::uint8_t alpha) { return alpha == 0 || alpha == 255; }))
    target.alpha = {};
  if (all(target.bare, [](std::uint8_t bare) { return bare == 0; }))
    target.bare = {};
  return target;
}

Target target_of(const FittedPicture& picture) {
  return target_of(FittedRows{picture.grid, rows_of(picture.pixels), picture.pixels_per_point});
}

void fit_range(Target& target, const ShelfReach& reach) {
  if (target.picture.empty())
    target.picture = target.wanted;
  const Span have = lightness_span(target);
  const Span get{std::max(have.low, reach.darkest()), std::min(have.high, reach.lightest())};
  const double scale =
      have.high > have.low ? std::max(0.0, get.high - get.low) / (have.high - have.low) : 1.0;
  for_each_row_band(target.grid.height, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < target.grid.width; ++x) {
        const LabPixel from = target.picture.at(x, y);
        const double l = std::clamp(get.low + (from.l - have.low) * scale, std::min(get.low, reach.darkest()),
                                    std::max(get.high, reach.lightest()));
        const double chroma = std::hypot(from.a, from.b);
        const double gain =
            chroma > 0 ? pressed(chroma, reach.most_chroma(l, std::atan2(from.b, from.a))) / chroma : 1.0;
        target.wanted.at(x, y) = to_pixel(Lab{l, from.a * gain, from.b * gain});
      }
    }
  });
}

Image<Rgb8> to_rgb(const Image<PackedLab>& picture) {
  Image<Rgb8> rgb(picture.width(), picture.height());
  for_each_row_band(picture.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < picture.width(); ++x)
        rgb.at(x, y) = to_rgb8(to_linear_rgb(to_xyz(to_lab(picture.at(x, y)))));
    }
  });
  return rgb;
}

}  // namespace powderplan
