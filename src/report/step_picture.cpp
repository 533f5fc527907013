#include "report/step_picture.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "layers/fade_bench.h"
#include "raster/area_mean.h"
#include "report/line_marks.h"
#include "report/quick_srgb.h"

namespace powderplan {
namespace {

// How much of a layer lies on each pixel of a picture of the piece, 0..1: a fade of its fullest, anything
// else by area.
Image<float> shares_of(const PlanRecord& record, std::size_t layer, bool graded, int width, int height) {
  const Layer& laid = record.layers[layer];
  const float fullest = graded ? static_cast<float>(whole_amount * (fullest_load(laid) / laid.load)) : 0.0F;
  std::array<float, whole_amount + 1> share{};
  for (std::size_t amount = 1; amount < share.size(); ++amount)
    share[amount] = graded ? std::min(1.0F, static_cast<float>(amount) / fullest) : 1.0F;
  AreaMean mean(laid.amount.width(), laid.amount.height(), 1, width, height);
  std::vector<float> row(static_cast<std::size_t>(laid.amount.width()));
  for (int y = 0; y < laid.amount.height(); ++y) {
    std::transform(laid.amount.row(y), laid.amount.row(y) + laid.amount.width(), row.begin(),
                   [&](Amount amount) { return share[amount]; });
    mean.add(row.data());
  }
  return mean.mean();
}

template <class T>
Image<T> enlarged(const Image<T>& picture, int factor) {
  if (factor == 1)
    return picture;
  Image<T> large(picture.width() * factor, picture.height() * factor);
  for (int y = 0; y < large.height(); ++y) {
    for (int x = 0; x < large.width(); ++x)
      large.at(x, y) = picture.at(x / factor, y / factor);
  }
  return large;
}

std::uint8_t mixed(std::uint8_t from, std::uint8_t to, double share) {
  return static_cast<std::uint8_t>(std::lround(from + share * (to - from)));
}

// A fade: the more of it lies, the stronger the mark, solid where it is fullest.
void mark_graded(Image<Rgb8>& picture, const Image<float>& share) {
  for (std::size_t i = 0; i < picture.size(); ++i) {
    const auto s = static_cast<double>(share[i]);
    Rgb8& c = picture[i];
    c = {mixed(c.r, mark_colour.r, s), mixed(c.g, mark_colour.g, s), mixed(c.b, mark_colour.b, s)};
  }
}

// An opening: where it takes half of a pixel or more.
void mark_open(Image<Rgb8>& picture, const Image<float>& share) {
  const auto inside = [&](int x, int y) { return share.at(x, y) >= 0.5F; };
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      if (!inside(x, y))
        continue;
      const bool edge = (x > 0 && !inside(x - 1, y)) || (x + 1 < picture.width() && !inside(x + 1, y)) ||
                        (y > 0 && !inside(x, y - 1)) || (y + 1 < picture.height() && !inside(x, y + 1));
      picture.at(x, y) = edge ? mark_edge_colour : mark_colour;
    }
  }
}

}  // namespace

Moment moment_before_layer(const PlanRecord& record, std::size_t layer) {
  Moment moment{record.firing_plan.places[layer].firing, {}};
  for (const std::size_t earlier : record.firing_plan.firings[moment.firings_done].layers) {
    if (earlier == layer)
      break;
    moment.loose.push_back(earlier);
  }
  return moment;
}

Image<Rgb8> step_picture(const PlanRecord& record, std::size_t layer, int most_width) {
  return step_picture(record, layer,
                      shrunk(picture_at(record, moment_before_layer(record, layer), View::wall), most_width),
                      most_width);
}

Image<Rgb8> step_picture(const PlanRecord& record, std::size_t layer, const Image<Rgb8>& before,
                         int most_width) {
  static const GreyByLightness pale(66, 0.31);
  const Layer& laid = record.layers[layer];
  const bool graded = laid.technique == Technique::fade || laid.lines;
  const int factor = std::max(1, most_width / std::max(1, record.separation.grid.width));
  Image<Rgb8> picture = before;
  for (std::size_t i = 0; i < picture.size(); ++i)
    picture[i] = pale(picture[i]);
  picture = enlarged(picture, factor);
  const Image<float> share =
      enlarged(shares_of(record, layer, graded, before.width(), before.height()), factor);
  (graded ? mark_graded : mark_open)(picture, share);
  const std::optional<LinePlan>& by_hand = laid.lines ? laid.lines : laid.scratched;
  return by_hand ? with_numbers(picture, *by_hand, record.width) : picture;
}

}  // namespace powderplan
