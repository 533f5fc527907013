#include "report/piece_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "report/fade_drawing.h"
#include "report/fade_words.h"
#include "report/mm_scale.h"
#include "report/step_picture.h"

namespace powderplan {
namespace {

constexpr double number_size = 3;                    // of the scale, mm
constexpr double scale_left = 9.5, scale_top = 6.2;  // room for it
constexpr double beyond = 4;                         // the last number reaches over the right edge
constexpr double long_tick = 2.2, short_tick = 1.1, edge_line = 0.25, tick_line = 0.15;
constexpr double edge_grey = 0.12;  // of mark_edge_colour, as it prints

double width_of(const PlanRecord& record) {
  return record.separation.grid.width * record.separation.grid.pitch.value();
}

double height_of(const PlanRecord& record) {
  return record.separation.grid.height * record.separation.grid.pitch.value();
}

PointMm on_page(const PiecePlace& place, PointMm at) {
  return {place.picture.left + place.zoom * at.x, place.picture.top + place.zoom * at.y};
}

LineMm on_page(const PiecePlace& place, const LineMm& line) {
  LineMm moved;
  moved.reserve(line.size());
  for (const PointMm& p : line)
    moved.push_back(on_page(place, p));
  return moved;
}

// `at` is mm on the piece; along the top, or down the left side.
void tick(PdfDocument& pdf, const PiecePlace& place, double at, bool numbered, bool along_top) {
  const double length = numbered ? long_tick : short_tick;
  const BoxMm& box = place.picture;
  const std::string number = fmt::format("{:.0f}", at);
  if (along_top) {
    const double x = box.left + place.zoom * at;
    pdf.line({x, box.top}, {x, box.top - length}, {.width = tick_line});
    if (numbered)
      pdf.text({x, box.top - long_tick - 0.6}, number, {.size = number_size, .align = Align::centre});
  } else {
    const double y = box.top + place.zoom * at;
    pdf.line({box.left, y}, {box.left - length, y}, {.width = tick_line});
    if (numbered)
      pdf.text({box.left - long_tick - 0.7, y + 0.36 * number_size}, number,
               {.size = number_size, .align = Align::right});
  }
}

// Readable on any ground.
PageText name_style(double size) {
  return {.size = size, .weight = Weight::bold, .align = Align::centre, .halo = 0.13 * size};
}

// The point itself, or the nearest within the box round it on a few rings; the point itself when none is
// free.
template <class Free>
PointMm free_place(PointMm wanted, double size, const BoxMm& box, const Free& is_free) {
  constexpr int rings = 6, ways = 12;
  for (int ring = 0; ring <= rings; ++ring) {
    for (int way = 0; way < (ring == 0 ? 1 : ways); ++way) {
      const double turn = 2 * std::numbers::pi * way / ways, away = 0.7 * size * ring;
      const PointMm at{wanted.x + away * std::cos(turn), wanted.y + away * std::sin(turn)};
      const bool inside = at.x > box.left && at.x < box.right && at.y > box.top && at.y < box.bottom;
      if ((ring == 0 || inside) && is_free(at))
        return at;
    }
  }
  return wanted;
}

void arrow(PdfDocument& pdf, PointMm from, PointMm to, double head, const Stroke& stroke) {
  const double length = std::hypot(to.x - from.x, to.y - from.y);
  const PointMm way{(to.x - from.x) / length, (to.y - from.y) / length};
  const auto barb = [&](double side) {
    return PointMm{to.x - head * (way.x - 0.7 * side * way.y), to.y - head * (way.y + 0.7 * side * way.x)};
  };
  pdf.line(from, to, stroke);
  pdf.line(LineMm{barb(1), to, barb(-1)}, stroke);
}

}  // namespace

PiecePlace piece_place(const PlanRecord& record, const BoxMm& room) {
  const double width = width_of(record), height = height_of(record);
  const double wide = room.right - room.left - scale_left - beyond;
  const double high = room.bottom - room.top - scale_top;
  PiecePlace place;
  place.zoom = std::max(0.0, std::min({wide / width, high / height, most_enlarged}));
  const double spare = std::max(0.0, wide - place.zoom * width);
  place.picture.left = room.left + scale_left + spare / 2;
  place.picture.top = room.top + scale_top;
  place.picture.right = place.picture.left + place.zoom * width;
  place.picture.bottom = place.picture.top + place.zoom * height;
  return place;
}

double bottom_of(const PiecePlace& place) {
  // Half of a number at the end of the scale.
  return place.picture.bottom + number_size / 2;
}

void draw_piece(PdfDocument& pdf, const PlanRecord& record, const Image<Rgb8>& picture, PictureCoding coding,
                const PiecePlace& place) {
  const BoxMm& box = place.picture;
  pdf.picture(box, picture, coding);
  pdf.shape({{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}},
            {.width = edge_line});
  const double width = width_of(record), height = height_of(record);
  double step = scale_step(std::max(width, height));
  // Numbers need room beside each other.
  constexpr double least_apart = 9;
  while (5 * step * place.zoom < least_apart && step < std::max(width, height))
    step *= 2;
  for (int i = 0; i * step <= width + 1e-6; ++i)
    tick(pdf, place, i * step, i % 5 == 0, true);
  for (int i = 0; i * step <= height + 1e-6; ++i)
    tick(pdf, place, i * step, i % 5 == 0, false);
}

void draw_fade(PdfDocument& pdf, const PlanRecord& record, std::size_t i, const FadeBench& bench,
               const PiecePlace& place) {
  const Layer& layer = record.layers[i];
  const Grid& grid = record.separation.grid;
  const double on_piece = std::max(width_of(record), height_of(record)) / 26;
  const FadeDrawing drawn = fade_drawing(bench, layer, grid, Millimetres(on_piece));
  const double letter = on_piece * place.zoom;
  if (layer.stencil) {
    for (const PolygonMm& opening : layer.stencil->stencil.openings)
      pdf.shape(on_page(place, opening), {.width = 0.07 * letter, .grey = edge_grey});
  }
  for (const Stroke& stroke : {Stroke{.width = 0.26 * letter, .grey = 1}, Stroke{.width = 0.09 * letter}}) {
    for (const FadeLevel& level : bench.levels)
      for (const LineMm& line : level.lines)
        pdf.line(on_page(place, line), stroke);
  }
  for (const FadeArrow& way : drawn.arrows) {
    for (const Stroke& stroke : {Stroke{.width = 0.5 * letter, .grey = 1}, Stroke{.width = 0.24 * letter}})
      arrow(pdf, on_page(place, way.from), on_page(place, way.to), 0.85 * letter, stroke);
  }
  for (const LevelMark& mark : drawn.marks) {
    const PointMm at = on_page(place, mark.at);
    const double size = 1.35 * letter;
    pdf.text({at.x, at.y + 0.36 * size}, shown_share(mark.share), name_style(size));
  }
  for (std::size_t k = 0; k < drawn.starts.size(); ++k) {
    const PointMm at = on_page(place, drawn.starts[k]);
    pdf.disc(at, 0.88 * letter, {255, 255, 255});
    pdf.disc(at, 0.75 * letter, {0, 0, 0});
    pdf.text({at.x, at.y + 0.34 * letter}, std::to_string(k + 1),
             {.size = 0.95 * letter, .weight = Weight::bold, .align = Align::centre, .grey = 1});
  }
}

void draw_names(PdfDocument& pdf, const std::vector<PlaceName>& names, double size, const PiecePlace& place) {
  const PageText style = name_style(size);
  std::vector<BoxMm> taken;
  const auto box_at = [&](PointMm middle, const std::string& name) {
    const double half = pdf.text_width(name, style) / 2 + 0.1 * size;
    return BoxMm{middle.x - half, middle.y - 0.5 * size, middle.x + half, middle.y + 0.5 * size};
  };
  const auto is_free = [&](const BoxMm& box) {
    return std::none_of(taken.begin(), taken.end(), [&](const BoxMm& other) {
      return box.left < other.right && other.left < box.right && box.top < other.bottom &&
             other.top < box.bottom;
    });
  };
  for (const PlaceName& name : names) {
    const PointMm place_on_page = on_page(place, name.at);
    const PointMm at = free_place(place_on_page, size, place.picture,
                                  [&](PointMm p) { return is_free(box_at(p, name.name)); });
    if (!(at == place_on_page)) {
      pdf.line(at, place_on_page, {.width = 0.26 * size, .grey = 1});
      pdf.line(at, place_on_page, {.width = 0.1 * size});
      pdf.disc(place_on_page, 0.16 * size, {0, 0, 0});
    }
    taken.push_back(box_at(at, name.name));
  }
  for (std::size_t i = 0; i < names.size(); ++i)
    pdf.text({(taken[i].left + taken[i].right) / 2, (taken[i].top + taken[i].bottom) / 2 + 0.36 * size},
             names[i].name, style);
}

}  // namespace powderplan
