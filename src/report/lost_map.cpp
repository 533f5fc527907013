#include "report/lost_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/bench_numbers.h"
#include "report/canvas.h"
#include "report/step_picture.h"

namespace powderplan {
namespace {

constexpr int narrowest_strip = 480;

// L* 55 to 97: fine detail is still to be seen in it.
Rgb8 pale(const Rgb8& colour) {
  return to_rgb8(to_linear_rgb(to_xyz(Lab{55 + 0.42 * to_lab(colour).l, 0, 0})));
}

// The mark with the drawing of the target in it.
Rgb8 marked(const Rgb8& colour) {
  const double share = 0.45 + 0.55 * to_lab(colour).l / 100;
  const auto part = [&](std::uint8_t c) { return static_cast<std::uint8_t>(std::lround(c * share)); };
  return {part(mark_colour.r), part(mark_colour.g), part(mark_colour.b)};
}

}  // namespace

Image<Rgb8> lost_map(const PlanRecord& record) {
  const Image<Rgb8> target = target_picture(record);
  Image<Rgb8> map(target.width(), target.height());
  for (std::size_t i = 0; i < map.size(); ++i)
    map[i] = record.lost_detail[i] != 0 ? marked(target[i]) : pale(target[i]);

  const int width = std::max(map.width(), narrowest_strip);
  const double unit = std::max(11.0, width / 55.0), top = map.height();
  Canvas canvas(width, map.height() + static_cast<int>(std::ceil(5.6 * unit)));
  canvas.picture(0, 0, map);
  canvas.text(unit, top + 2 * unit,
              fmt::format("{:.0f} % of the fine detail is lost", 100 * record.fidelity.lost_detail),
              {.size = 1.3 * unit, .weight = Weight::bold});
  const double box = 1.2 * unit, row = top + 3.2 * unit;
  canvas.fill(unit, row, box, box, mark_colour);
  const TextStyle label{.size = 1.05 * unit};
  const std::string lost = fmt::format("lost: finer than {} allows", shown(record.smallest));
  canvas.text(unit + 1.5 * box, row + 0.9 * unit, lost, label);
  const double second = unit + 3.5 * box + canvas.text_width(lost, label);
  canvas.fill(second, row, box, box, pale({128, 128, 128}));
  canvas.text_within(second + 1.5 * box, row + 0.9 * unit, width - second - 2.5 * box,
                     "shown, or nothing fine there", label);
  return canvas.image();
}

}  // namespace powderplan
