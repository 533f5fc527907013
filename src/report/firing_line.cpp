#include "report/firing_line.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/bench_numbers.h"
#include "report/stage.h"

namespace powderplan {
namespace {

// Lengths in sizes of the letters.
constexpr double least_stop = 12.5;  // width of a firing on the line
constexpr double least_step = 11;    // width of a step's number and name
constexpr double above_line = 2.9, stem = 1.3, step_pitch = 1.55, between_rows = 1.2, sign = 1.35;
constexpr double kiln_from = 0.42;  // of a firing's width

struct Rows {
  std::size_t in_row = 1;
  double stop_width = 0;
  std::size_t columns = 1;  // of steps below a firing
};

Rows rows_of(const std::vector<FiringStop>& stops, double width, double size) {
  Rows rows;
  const auto most = static_cast<std::size_t>(std::max(1.0, std::floor(width / (least_stop * size))));
  // Even rows: five firings where four fit are three and two.
  const std::size_t count = std::max<std::size_t>(1, (stops.size() + most - 1) / most);
  rows.in_row = std::max<std::size_t>(1, (stops.size() + count - 1) / count);
  rows.stop_width = width / static_cast<double>(rows.in_row);
  rows.columns = static_cast<std::size_t>(std::max(1.0, std::floor(rows.stop_width / (least_step * size))));
  return rows;
}

double row_height(const std::vector<FiringStop>& stops, std::size_t first, const Rows& rows, double size) {
  std::size_t lines = 0;
  for (std::size_t i = first; i < std::min(stops.size(), first + rows.in_row); ++i)
    lines = std::max(lines, (stops[i].steps.size() + rows.columns - 1) / rows.columns);
  return (above_line + stem + step_pitch * static_cast<double>(lines)) * size;
}

double grey_of(SignInk ink) {
  return ink == SignInk::full ? 0 : ink == SignInk::pale ? 0.82 : 1;
}

PolygonMm box(PointMm middle, double half) {
  return {{middle.x - half, middle.y - half},
          {middle.x + half, middle.y - half},
          {middle.x + half, middle.y + half},
          {middle.x - half, middle.y + half}};
}

// Numbers of three letters get smaller ones.
void number_in(PdfDocument& pdf, PointMm middle, double side, std::size_t number, SignInk ink) {
  const std::string text = std::to_string(number);
  const double size = side * (text.size() > 2 ? 0.46 : 0.62);
  pdf.text(
      {middle.x, middle.y + 0.365 * size}, text,
      {.size = size, .weight = Weight::bold, .align = Align::centre, .grey = ink == SignInk::full ? 1.0 : 0});
}

void draw_stop(PdfDocument& pdf, const FiringStop& stop, PointMm at, const Rows& rows, double size) {
  const double width = rows.stop_width, kiln = at.x + kiln_from * width, end = at.x + width;
  pdf.line(at, {kiln, at.y}, {.width = 0.1 * size});
  pdf.fill({{kiln, at.y - 0.16 * size},
            {end, at.y - 0.16 * size},
            {end, at.y + 0.16 * size},
            {kiln, at.y + 0.16 * size}},
           stop.done ? 0.75 : 0);
  pdf.line({at.x, at.y - 0.5 * size}, {at.x, at.y + 0.5 * size}, {.width = 0.1 * size});
  pdf.text_within({at.x, at.y - 0.85 * size}, kiln - at.x - 0.9 * size,
                  stop.done ? "done" : fmt::format("Day {}", stop.day),
                  {.size = 1.15 * size, .weight = Weight::bold});
  draw_firing_sign(pdf, {kiln, at.y}, sign * size, stop.number, SignInk::full);
  const double words = kiln + 0.85 * size, room = end - words - 0.5 * size;
  const auto above = [&](double higher, const std::string& text, PageText style) {
    style.size *= std::min(1.0, room / pdf.text_width(text, style));
    pdf.text({words, at.y - higher * size}, text, style);
  };
  above(1.85, fmt::format("{}, {} \u00b0C", stop.finish, shown(stop.top)),
        {.size = size, .weight = Weight::bold});
  above(0.62, fmt::format("about {:.0f} h", std::ceil(stop.hours)), {.size = 0.9 * size});
  const double column = width / static_cast<double>(rows.columns);
  const std::size_t lines = (stop.steps.size() + rows.columns - 1) / rows.columns;
  for (std::size_t i = 0; i < stop.steps.size(); ++i) {
    const std::size_t across = i / lines, down = i % lines;
    const double x = at.x + column * static_cast<double>(across) + sign * size / 2;
    const double y = at.y + (stem + step_pitch * (0.5 + static_cast<double>(down))) * size;
    const double from = down == 0 ? at.y : y - (step_pitch - sign / 2) * size;
    pdf.line({x, from}, {x, y - sign * size / 2}, {.width = 0.08 * size});
    draw_step_sign(pdf, {x, y}, sign * size, stop.steps[i].number, stop.done ? SignInk::pale : SignInk::open);
    pdf.text_within({x + 0.95 * size, y + 0.36 * size}, column - 2.2 * size, stop.steps[i].name,
                    {.size = size});
  }
}

}  // namespace

void draw_step_sign(PdfDocument& pdf, PointMm middle, double side, std::size_t number, SignInk ink) {
  pdf.fill(box(middle, side / 2), grey_of(ink));
  pdf.shape(box(middle, side / 2), {.width = 0.06 * side});
  number_in(pdf, middle, side, number, ink);
}

void draw_firing_sign(PdfDocument& pdf, PointMm middle, double side, std::size_t number, SignInk ink) {
  const auto grey = static_cast<std::uint8_t>(255 * grey_of(ink));
  pdf.disc(middle, side / 2, {grey, grey, grey});
  pdf.circle(middle, side / 2, {.width = 0.06 * side});
  number_in(pdf, middle, side, number, ink);
}

std::vector<FiringStop> firing_line(const PlanRecord& record) {
  std::vector<FiringStop> stops;
  int day = 1;
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k) {
    const Firing& firing = record.firing_plan.firings[k];
    FiringStop stop{.number = k + 1,
                    .day = day,
                    .finish = std::string(name_of(firing.finish)),
                    .top = top_of(firing.segments),
                    .hours = hours_of(firing.segments),
                    .done = k < record.firings_done,
                    .steps = {}};
    for (const std::size_t layer : firing.layers)
      stop.steps.push_back({layer + 1, powder_of(record, record.layers[layer]).name});
    if (stop.done)
      stop.day = 0;
    else
      day += 1 + static_cast<int>(std::ceil(std::max(0.0, stop.hours - hours_overnight) / 24));
    stops.push_back(std::move(stop));
  }
  return stops;
}

double firing_line_height(const std::vector<FiringStop>& stops, double width, double size) {
  const Rows rows = rows_of(stops, width, size);
  double height = 0;
  for (std::size_t first = 0; first < stops.size(); first += rows.in_row)
    height += (first > 0 ? between_rows * size : 0) + row_height(stops, first, rows, size);
  return height;
}

void draw_firing_line(PdfDocument& pdf, const std::vector<FiringStop>& stops, PointMm at, double width,
                      double size) {
  const Rows rows = rows_of(stops, width, size);
  for (std::size_t first = 0; first < stops.size(); first += rows.in_row) {
    for (std::size_t i = first; i < std::min(stops.size(), first + rows.in_row); ++i)
      draw_stop(pdf, stops[i],
                {at.x + rows.stop_width * static_cast<double>(i - first), at.y + above_line * size}, rows,
                size);
    at.y += row_height(stops, first, rows, size) + between_rows * size;
  }
}

}  // namespace powderplan
