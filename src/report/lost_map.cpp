#include "report/lost_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/bench_numbers.h"
#include "report/canvas.h"
#include "report/quick_srgb.h"
#include "report/step_picture.h"

namespace powderplan {
namespace {

constexpr int narrowest_strip = 480;

// L* 55 to 97: fine detail is still to be seen in it.
Rgb8 pale(const Rgb8& colour) {
  static const GreyByLightness grey(55, 0.42);
  return grey(colour);
}

// The mark with the drawing of the target in it.
Rgb8 marked(const Rgb8& colour) {
  const double share = 0.45 + 0.55 * GreyByLightness::lightness(colour) / 100;
  const auto part = [&](std::uint8_t c) { return static_cast<std::uint8_t>(std::lround(c * share)); };
  return {part(mark_colour.r), part(mark_colour.g), part(mark_colour.b)};
}

}  // namespace

PictureRows<Rgb8> lost_map(const PlanRecord& record) {
  const PictureRows<Rgb8> target = target_rows(record);
  const auto row = [&record, target](int y, Rgb8* to) {
    target.row(y, to);
    const std::uint8_t* const lost = record.lost_detail.row(y);
    for (int x = 0; x < target.width; ++x)
      to[x] = lost[x] != 0 ? marked(to[x]) : pale(to[x]);
  };
  const int width = std::max(target.width, narrowest_strip);
  const double unit = std::max(11.0, width / 55.0);
  Canvas canvas(width, static_cast<int>(std::ceil(5.6 * unit)));
  canvas.text(unit, 2 * unit,
              fmt::format("{:.0f} % of the fine detail is lost", 100 * record.fidelity.lost_detail),
              {.size = 1.3 * unit, .weight = Weight::bold});
  const double box = 1.2 * unit, strip = 3.2 * unit;
  canvas.fill(unit, strip, box, box, mark_colour);
  const TextStyle label{.size = 1.05 * unit};
  const std::string lost = fmt::format("lost: finer than {} allows", shown(record.smallest));
  canvas.text(unit + 1.5 * box, strip + 0.9 * unit, lost, label);
  const double second = unit + 3.5 * box + canvas.text_width(lost, label);
  canvas.fill(second, strip, box, box, pale({128, 128, 128}));
  canvas.text_within(second + 1.5 * box, strip + 0.9 * unit, width - second - 2.5 * box,
                     "shown, or nothing fine there", label);
  return with_strip({target.width, target.height, row}, canvas.image());
}

}  // namespace powderplan
