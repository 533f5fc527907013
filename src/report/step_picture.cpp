#include "report/step_picture.h"

#include <algorithm>

namespace powderplan {
namespace {

Rgb8 pale(const Rgb8& colour) {
  const Lab grey{66 + 0.31 * to_lab(colour).l, 0, 0};
  return to_rgb8(to_linear_rgb(to_xyz(grey)));
}

// Every label in one of two ways, as large as wanted.
Image<Rgb8> labels_in(const PlanRecord& record, const std::vector<Rgb8>& colours, int factor,
                      int most_width) {
  const Image<std::uint16_t>& labels = record.separation.label_at;
  Image<Rgb8> picture(labels.width() * factor, labels.height() * factor);
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x)
      picture.at(x, y) = colours[labels.at(x / factor, y / factor)];
  }
  return shrunk(picture, most_width);
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
  std::vector<Rgb8> ground = label_colours(record, moment_before_layer(record, layer), View::wall);
  std::transform(ground.begin(), ground.end(), ground.begin(), pale);
  std::vector<Rgb8> open(ground.size());
  for (std::size_t label = 0; label < open.size(); ++label)
    open[label] = record.layers[layer].open_at_label[label] ? Rgb8{255, 255, 255} : Rgb8{0, 0, 0};

  const int factor = std::max(1, most_width / std::max(1, record.separation.label_at.width()));
  Image<Rgb8> picture = labels_in(record, ground, factor, most_width);
  const Image<Rgb8> share = labels_in(record, open, factor, most_width);
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
  return picture;
}

}  // namespace powderplan
