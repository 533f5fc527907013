#include "report/step_picture.h"

#include <algorithm>
#include <cmath>

#include "layers/fade_bench.h"
#include "report/line_marks.h"

namespace powderplan {
namespace {

Rgb8 pale(const Rgb8& colour) {
  const Lab grey{66 + 0.31 * to_lab(colour).l, 0, 0};
  return to_rgb8(to_linear_rgb(to_xyz(grey)));
}

// Every spot in its colour, as large as wanted.
Image<Rgb8> spots_in(const PlanRecord& record, const std::vector<Rgb8>& colours, int factor, int most_width) {
  const Image<std::uint32_t>& spots = record.spots.at();
  Image<Rgb8> picture(spots.width() * factor, spots.height() * factor);
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x)
      picture.at(x, y) = colours[spots.at(x / factor, y / factor)];
  }
  return shrunk(picture, most_width);
}

std::uint8_t mixed(std::uint8_t from, std::uint8_t to, double share) {
  return static_cast<std::uint8_t>(std::lround(from + share * (to - from)));
}

// A fade: the more of it lies, the stronger the mark, solid where it is fullest.
Image<Rgb8> graded(const PlanRecord& record, std::size_t layer, std::vector<Rgb8> ground, int factor,
                   int most_width) {
  const double fullest = whole_amount * (fullest_load(record.layers[layer]) / record.layers[layer].load);
  for (std::size_t spot = 0; spot < ground.size(); ++spot) {
    const double share = std::min(1.0, record.spots.amount(spot, layer) / fullest);
    Rgb8& c = ground[spot];
    c = {mixed(c.r, mark_colour.r, share), mixed(c.g, mark_colour.g, share),
         mixed(c.b, mark_colour.b, share)};
  }
  return spots_in(record, ground, factor, most_width);
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
  return step_picture(record, layer, spot_colours(record, moment_before_layer(record, layer), View::wall),
                      most_width);
}

Image<Rgb8> step_picture(const PlanRecord& record, std::size_t layer, std::vector<Rgb8> ground,
                         int most_width) {
  std::transform(ground.begin(), ground.end(), ground.begin(), pale);
  const int factor = std::max(1, most_width / std::max(1, record.spots.at().width()));
  const Layer& laid = record.layers[layer];
  if (laid.technique == Technique::fade || laid.lines) {
    const std::optional<LinePlan>& by_hand = laid.lines ? laid.lines : laid.scratched;
    const Image<Rgb8> picture = graded(record, layer, std::move(ground), factor, most_width);
    return by_hand ? with_numbers(picture, *by_hand, record.width) : picture;
  }
  std::vector<Rgb8> open(ground.size());
  for (std::size_t spot = 0; spot < open.size(); ++spot)
    open[spot] = record.spots.amount(spot, layer) != 0 ? Rgb8{255, 255, 255} : Rgb8{0, 0, 0};
  Image<Rgb8> picture = spots_in(record, ground, factor, most_width);
  const Image<Rgb8> share = spots_in(record, open, factor, most_width);
  const auto inside = [&](int x, int y) { return share.at(x, y).r >= 188; };  // half of the light
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      if (!inside(x, y))
        continue;
      const bool edge = (x > 0 && !inside(x - 1, y)) || (x + 1 < picture.width() && !inside(x + 1, y)) ||
                        (y > 0 && !inside(x, y - 1)) || (y + 1 < picture.height() && !inside(x, y + 1));
      picture.at(x, y) = edge ? mark_edge_colour : mark_colour;
    }
  }
  return laid.scratched ? with_numbers(picture, *laid.scratched, record.width) : picture;
}

}  // namespace powderplan
