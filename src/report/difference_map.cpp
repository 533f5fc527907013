#include "report/difference_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <utility>
#include <vector>

#include "colour/quick_difference.h"
#include "parallel.h"
#include "report/canvas.h"

namespace powderplan {
namespace {

constexpr int narrowest_strip = 480;

// From a night blue over plum and amber to straw: L* grows evenly, the hue only helps.
constexpr std::array<Lab, 4> ramp{{{14, 6, -24}, {41, 34, -14}, {69, 26, 44}, {96, -2, 26}}};

const std::array<Rgb8, 256>& scale_colours() {
  static const std::array<Rgb8, 256> colours = [] {
    std::array<Rgb8, 256> made;
    for (std::size_t i = 0; i < made.size(); ++i) {
      const double at = static_cast<double>(i) / 255.0 * (ramp.size() - 1);
      const auto leg = std::min(static_cast<std::size_t>(at), ramp.size() - 2);
      const double t = at - static_cast<double>(leg);
      const Lab &a = ramp[leg], &b = ramp[leg + 1];
      made[i] = to_rgb8(
          to_linear_rgb(to_xyz(Lab{a.l + t * (b.l - a.l), a.a + t * (b.a - a.a), a.b + t * (b.b - a.b)})));
    }
    return made;
  }();
  return colours;
}

void draw_strip(Canvas& canvas, const std::string& title, double mean_de00, double p95_de00, double width,
                double unit) {
  const TextStyle label{.size = 1.05 * unit}, strong{.size = 1.15 * unit, .weight = Weight::bold};
  const double left = unit, right = width - unit, bar = 2.9 * unit, bar_height = 1.3 * unit;
  canvas.text(left, 1.9 * unit, title, strong);
  const auto place = [&](double de00) { return left + (right - left) * de00 / end_of_scale_de00; };
  const int columns = static_cast<int>(right - left);
  for (int i = 0; i < columns; ++i)
    canvas.fill(std::floor(left) + i, bar, 1, bar_height,
                difference_colour(end_of_scale_de00 * (i + 0.5) / columns));
  for (const int tick : {0, 3, 6, 9, 12, 15}) {
    const bool end = tick == static_cast<int>(end_of_scale_de00);
    const double x = place(tick), thick = std::max(1.0, std::round(unit / 10));
    canvas.fill(std::round(x) - (end ? thick : 0), bar + bar_height, thick, 0.4 * unit, {0, 0, 0});
    TextStyle style = label;
    style.align = tick == 0 ? Align::left : end ? Align::right : Align::centre;
    canvas.text(x, bar + bar_height + 1.5 * unit, end ? "15 and more" : std::to_string(tick), style);
  }
  // The part that is good: a bracket over the bar.
  const double thick = std::max(1.0, std::round(unit / 6)), good = place(good_de00);
  canvas.fill(good - thick / 2, bar - 0.3 * unit, thick, bar_height + 0.7 * unit, {0, 0, 0});
  canvas.fill(left, bar - 0.3 * unit, good - left, thick, {0, 0, 0});
  const double foot = bar + bar_height + 3.3 * unit;
  const std::string mean = fmt::format("mean {:.1f}", mean_de00);
  canvas.text(left, foot, mean, strong);
  canvas.text(left + canvas.text_width(mean, strong) + 2 * unit, foot,
              fmt::format("95 % of the area below {:.1f}", p95_de00), strong);
  canvas.text(right, foot, "bracket: good, below 3", {.size = 1.05 * unit, .align = Align::right});
}

// CIEDE2000 of the points of a row, both as codes.
class RowDifferences {
 public:
  explicit RowDifferences(int width) : count_(static_cast<std::size_t>(width)), numbers_(6 * count_) {}
  void find(const Rgb8* reference, const Rgb8* sample, float* de00) {
    const LabRows one = lab(reference, 0), other = lab(sample, 3);
    quick_ciede2000(one, other, de00, count_);
  }

 private:
  LabRows lab(const Rgb8* colours, std::size_t place) {
    float* const l = numbers_.data() + place * count_;
    quick_lab(colours, count_, l, l + count_, l + 2 * count_);
    return {l, l + count_, l + 2 * count_};
  }
  std::size_t count_;
  std::vector<float> numbers_;
};

}  // namespace

Rgb8 difference_colour(double de00) {
  const double share = std::clamp(de00 / end_of_scale_de00, 0.0, 1.0);
  return scale_colours()[static_cast<std::size_t>(std::lround(share * 255))];
}

DifferenceField differences(const PlanRecord& record, const Image<Rgb8>& target, const Image<Rgb8>& plan) {
  DifferenceField field{Image<float>(target.width(), target.height())};
  for_each_row_band(target.height(), [&](int begin, int end) {
    RowDifferences between(target.width());
    for (int y = begin; y < end; ++y) {
      between.find(target.row(y), plan.row(y), field.de00.row(y));
      const std::size_t first = static_cast<std::size_t>(y) * static_cast<std::size_t>(target.width());
      for (std::size_t i = first; i < first + static_cast<std::size_t>(target.width()); ++i) {
        if (!pictured(record, i))
          field.de00[i] = 0;
      }
    }
  });
  std::vector<float> counted;
  counted.reserve(field.de00.size());
  for (std::size_t i = 0; i < field.de00.size(); ++i) {
    if (pictured(record, i))
      counted.push_back(field.de00[i]);
  }
  if (counted.empty())
    return field;
  double sum = 0;
  for (const float value : counted)
    sum += static_cast<double>(value);
  field.mean = sum / static_cast<double>(counted.size());
  const auto at = static_cast<std::ptrdiff_t>(std::ceil(0.95 * static_cast<double>(counted.size()))) - 1;
  std::nth_element(counted.begin(), counted.begin() + at, counted.end());
  field.p95 = static_cast<double>(counted[static_cast<std::size_t>(at)]);
  return field;
}

PictureRows<Rgb8> with_difference_scale(PictureRows<Rgb8> map, const std::string& title, double mean,
                                        double p95) {
  const int width = std::max(map.width, narrowest_strip);
  const double unit = std::max(11.0, width / 55.0);
  Canvas strip(width, static_cast<int>(std::ceil(8.6 * unit)));
  draw_strip(strip, title, mean, p95, width, unit);
  return with_strip(std::move(map), strip.image());
}

PictureRows<Rgb8> difference_map(const PlanRecord& record) {
  return difference_map(record, rows_at(record, moment_finished(record), record.view));
}

PictureRows<Rgb8> difference_map(const PlanRecord& record, const PictureRows<Rgb8>& plan) {
  const auto width = static_cast<std::size_t>(plan.width);
  const auto row = [&record, plan, width, between = std::make_shared<RowDifferences>(plan.width),
                    de00 = std::vector<float>(width)](int y, Rgb8* to) mutable {
    plan.row(y, to);
    between->find(record.target.row(y), to, de00.data());
    const std::size_t first = static_cast<std::size_t>(y) * width;
    for (std::size_t x = 0; x < width; ++x)
      to[x] =
          pictured(record, first + x) ? difference_colour(static_cast<double>(de00[x])) : not_counted_colour;
  };
  return with_difference_scale({plan.width, plan.height, row}, "Difference from the target, CIEDE2000",
                               record.fidelity.mean_de00, record.fidelity.p95_de00);
}

}  // namespace powderplan
