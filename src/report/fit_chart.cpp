#include "report/fit_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "raster/png.h"
#include "report/canvas.h"

namespace powderplan {
namespace {

constexpr Millimetres pitch{0.16};
// Pixels.
constexpr double margin = 56, label_width = 185, least_width = 1188;
constexpr double widest_field = 130, narrowest_field = 58, half_field = 46;
constexpr double head_height = 174, row_height = 188, plot_height = 380, powder_gap = 60;
constexpr Rgb8 black{0, 0, 0}, grey{90, 90, 90}, light{205, 205, 205}, white{255, 255, 255};

Rgb8 shown(const Lab& colour) {
  return to_rgb8(to_linear_rgb(to_xyz(colour)));
}

// Steps of one ground, lightest load first.
std::vector<const StepResult*> steps_on(const MeasuredPowder& powder, std::size_t ground) {
  std::vector<const StepResult*> steps;
  for (const StepResult& step : powder.steps)
    if (step.ground == ground)
      steps.push_back(&step);
  std::stable_sort(steps.begin(), steps.end(),
                   [](const StepResult* a, const StepResult* b) { return a->load < b->load; });
  return steps;
}

std::size_t most_fields(const std::vector<FittedPowder>& powders) {
  std::size_t most = 0;
  for (const FittedPowder& powder : powders)
    for (std::size_t g = 0; g < powder.readings.grounds.size(); ++g)
      most = std::max(most, steps_on(powder.measured, g).size() + 1);
  return most;
}

double height_of(const FittedPowder& powder) {
  return head_height + static_cast<double>(powder.readings.grounds.size()) * row_height + plot_height;
}

Lab bare(const Ground& ground) {
  return lab_of(seen(ground, {}));
}

std::string on_ground(const MeasuredGround& ground) {
  return ground.ground.view == View::window ? "light through" : fmt::format("on {}", ground.name);
}

void draw_head(Canvas& canvas, const FittedPowder& powder, double top, double width) {
  const MeasuredPowder& measured = powder.measured;
  canvas.text_within(margin, top + 32, width, powder.name, {.size = 34, .weight = Weight::bold});
  const std::size_t points = measured.optics.curve.points().size();
  const std::string lines[] = {
      powder.source,
      fmt::format("Grains spread {:.2f} times as far as is usual of their size.{}", measured.optics.spreads,
                  points == 0 ? std::string()
                              : fmt::format(" A curve of {} points says what each load counts for.", points)),
      fmt::format("Mean difference of these steps: {:.1f} (CIEDE2000).", measured.residual_de00),
      fmt::format("To be expected of loads that were not measured: {:.1f}{}.", measured.expected_de00,
                  measured.left_out ? ", the noise of the readings taken off" : "; too few loads to try it")};
  double y = top + 62;
  for (const std::string& line : lines) {
    canvas.text_within(margin, y, width, line, {.size = 18});
    y += 24;
  }
}

void draw_row(Canvas& canvas, const FittedPowder& powder, std::size_t ground, double top, double field) {
  const MeasuredGround& on = powder.readings.grounds[ground];
  const double fields_top = top + 30, right = margin + label_width - 14;
  const double below = fields_top + 2 * half_field;
  const auto label = [&](double y, const std::string& text) {
    canvas.text(right, y, text, {.size = 16, .align = Align::right, .colour = grey});
  };
  canvas.text_within(margin, top + 20, label_width - 60, on_ground(on), {.size = 18, .weight = Weight::bold});
  label(top + 20, "g/cm\u00b2");
  label(fields_top + half_field / 2 + 6, "measured");
  label(fields_top + 1.5 * half_field + 6, "predicted");
  label(below + 24, "difference");
  if (powder.measured.left_out)
    label(below + 46, "left out");

  double x = margin + label_width;
  const auto middle = [&](double y, const std::string& text, Weight weight = Weight::normal) {
    canvas.text(x + field / 2, y, text, {.size = 16, .weight = weight, .align = Align::centre});
  };
  middle(top + 20, "bare");
  canvas.fill(x, fields_top, field, 2 * half_field, shown(bare(on.ground)));
  for (const StepResult* step : steps_on(powder.measured, ground)) {
    x += field;
    middle(top + 20, fmt::format("{:.3f}", step->load.value()));
    canvas.fill(x, fields_top, field, half_field, shown(step->measured));
    canvas.fill(x, fields_top + half_field, field, half_field, shown(step->predicted));
    middle(below + 24, fmt::format("{:.1f}", step->de00), Weight::bold);
    if (powder.measured.left_out)
      middle(below + 46, fmt::format("{:.1f}", step->left_out_de00));
  }
  canvas.frame(margin + label_width, fields_top, x + field - margin - label_width, 2 * half_field, 1, light);
}

// Lightness against load. Loads lie at their square roots, so that light ones are apart.
class LightnessPlot {
 public:
  LightnessPlot(Canvas& canvas, const FittedPowder& powder, double top, double width)
      : canvas_(canvas),
        powder_(powder),
        left_(margin + label_width),
        right_(margin + width - 150),
        top_(top + 22),
        bottom_(top + plot_height - 62),
        heaviest_(loads_of(powder.readings).back()) {}

  void draw() {
    draw_axes();
    std::vector<Label> labels;
    for (std::size_t g = 0; g < powder_.readings.grounds.size(); ++g)
      labels.push_back({y_of(draw_curve(g)), on_ground(powder_.readings.grounds[g])});
    for (std::size_t g = 0; g < powder_.readings.grounds.size(); ++g)
      draw_points(g);
    draw_labels(std::move(labels));
  }

 private:
  struct Label {
    double y;
    std::string text;
  };

  [[nodiscard]] double x_of(Load load) const {
    return left_ + (right_ - left_) * std::sqrt(load / heaviest_);
  }
  [[nodiscard]] double y_of(double lightness) const {
    constexpr double whitest = 100;
    return bottom_ - (bottom_ - top_) * lightness / whitest;
  }

  void draw_axes() {
    canvas_.text(left_ - 54, top_ + 6, "L*", {.size = 18, .align = Align::right});
    for (const double lightness : {0, 20, 40, 60, 80, 100}) {
      canvas_.line(left_, y_of(lightness), right_, y_of(lightness), 1, lightness == 0 ? black : light);
      canvas_.text(left_ - 12, y_of(lightness) + 6, fmt::format("{:.0f}", lightness),
                   {.size = 16, .align = Align::right});
    }
    // Round loads, as many as find room.
    double taken = -1e9;
    constexpr double room = 58;
    for (const double load :
         {0.0, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0}) {
      const double x = x_of(Load(load));
      if (x > right_ + 1 || x < taken + room)
        continue;
      canvas_.line(x, bottom_, x, bottom_ + 7, 1, black);
      canvas_.text(x, bottom_ + 27, fmt::format("{:g}", load), {.size = 16, .align = Align::centre});
      taken = x;
    }
    canvas_.text(right_ + 34, bottom_ + 27, "g/cm\u00b2", {.size = 16});
  }

  // Returns the lightness at its end.
  double draw_curve(std::size_t ground) {
    constexpr int pieces = 120;
    double before = bare(powder_.readings.grounds[ground].ground).l;
    for (int i = 1; i <= pieces; ++i) {
      const auto load_at = [&](int piece) {
        const double way = static_cast<double>(piece) / pieces;
        return heaviest_ * (way * way);
      };
      const double now =
          lab_of(look_of(powder_.measured.optics, powder_.readings, {load_at(i), ground, Xyz{}})).l;
      canvas_.line(x_of(load_at(i - 1)), y_of(before), x_of(load_at(i)), y_of(now), 2.5, grey);
      before = now;
    }
    return before;
  }

  // In their own colour, with a black rim that shows on any.
  void draw_points(std::size_t ground) {
    constexpr double half = 8;
    for (const StepResult* step : steps_on(powder_.measured, ground)) {
      const double x = std::round(x_of(step->load)), y = std::round(y_of(step->measured.l));
      canvas_.fill(x - half - 1, y - half - 1, 2 * half + 2, 2 * half + 2, white);
      canvas_.fill(x - half, y - half, 2 * half, 2 * half, shown(step->measured));
      canvas_.frame(x - half, y - half, 2 * half, 2 * half, 2, black);
    }
  }

  // At the curves' right ends, moved apart where they meet.
  void draw_labels(std::vector<Label> labels) {
    std::sort(labels.begin(), labels.end(), [](const Label& a, const Label& b) { return a.y < b.y; });
    constexpr double line = 21;
    for (std::size_t i = 1; i < labels.size(); ++i)
      labels[i].y = std::max(labels[i].y, labels[i - 1].y + line);
    const double over = labels.back().y - (bottom_ - 6);
    for (Label& label : labels) {
      label.y -= std::max(0.0, over);
      canvas_.text_within(right_ + 18, label.y + 6, 130, label.text, {.size = 17, .weight = Weight::bold});
    }
  }

  Canvas& canvas_;
  const FittedPowder& powder_;
  double left_, right_, top_, bottom_;
  Load heaviest_;
};

}  // namespace

Image<Rgb8> fit_chart(const std::vector<FittedPowder>& powders) {
  const auto fields = static_cast<double>(most_fields(powders));
  const double width = std::max(least_width, 2 * margin + label_width + fields * narrowest_field);
  const double field =
      std::min(widest_field, std::floor((width - 2 * margin - label_width) / std::max(1.0, fields)));
  double height = 2 * margin - powder_gap;
  for (const FittedPowder& powder : powders)
    height += height_of(powder) + powder_gap;
  Canvas canvas(static_cast<int>(width), static_cast<int>(height));
  double top = margin;
  for (const FittedPowder& powder : powders) {
    if (&powder != &powders.front())
      canvas.fill(margin, top - powder_gap / 2 - 2, width - 2 * margin, 3, black);
    draw_head(canvas, powder, top, width - 2 * margin);
    const auto rows_to = [&](std::size_t ground) {
      return top + head_height + static_cast<double>(ground) * row_height;
    };
    for (std::size_t g = 0; g < powder.readings.grounds.size(); ++g)
      draw_row(canvas, powder, g, rows_to(g), field);
    LightnessPlot(canvas, powder, rows_to(powder.readings.grounds.size()), width - 2 * margin).draw();
    top += height_of(powder) + powder_gap;
  }
  return canvas.image();
}

std::vector<std::uint8_t> fit_chart_png(const std::vector<FittedPowder>& powders) {
  return encode_png(fit_chart(powders), pitch);
}

}  // namespace powderplan
