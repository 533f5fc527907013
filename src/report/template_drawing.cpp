#include "report/template_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

constexpr double opening_grey = 0.85, seam_grey = 0.35;
constexpr double cut_line = 0.25, thin_line = 0.15;  // mm
constexpr double cross_every = 50, cross_arm = 3;    // mm

struct StencilSheet {
  double width, height;
};

StencilSheet sheet_of(const Stencil& stencil) {
  return {stencil.width.value() + 2 * stencil.border.value(),
          stencil.height.value() + 2 * stencil.border.value()};
}

PolygonMm rectangle(const BoxMm& box) {
  return {{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}};
}

PolygonMm on_sheet(const PolygonMm& shape, double border) {
  PolygonMm moved = shape;
  for (PointMm& p : moved)
    p = {p.x + border, p.y + border};
  return moved;
}

// All that is cut, in lengths of the sheet; `zoom` is how much smaller than life it is drawn.
void draw_cuts(PdfDocument& pdf, const Stencil& stencil, double zoom) {
  const double border = stencil.border.value();
  const StencilSheet sheet = sheet_of(stencil);
  const Stroke cut{.width = cut_line / zoom};
  for (const PolygonMm& opening : stencil.openings) {
    const PolygonMm shape = on_sheet(opening, border);
    pdf.fill(shape, opening_grey);
    pdf.shape(shape, cut);
  }
  const double arm = stencil.pin.value() / 2;
  for (const PointMm& pin : stencil.pins) {
    const PointMm middle{pin.x + border, pin.y + border};
    pdf.circle(middle, arm, cut);
    pdf.line({middle.x - arm, middle.y}, {middle.x + arm, middle.y}, {.width = thin_line / zoom});
    pdf.line({middle.x, middle.y - arm}, {middle.x, middle.y + arm}, {.width = thin_line / zoom});
  }
  pdf.shape(rectangle({0, 0, sheet.width, sheet.height}), cut);
}

// Of a panel's stencil: where its edges lie, and the marks that it has in common with its neighbours.
void draw_marks(PdfDocument& pdf, const Stencil& stencil) {
  if (stencil.marks.empty())
    return;
  const double border = stencil.border.value();
  pdf.shape(rectangle({border, border, border + stencil.width.value(), border + stencil.height.value()}),
            {.width = thin_line, .grey = seam_grey, .dash = 1});
  for (const StencilMark& mark : stencil.marks) {
    const PointMm from{mark.from.x + border, mark.from.y + border},
        to{mark.to.x + border, mark.to.y + border};
    pdf.line(from, to, {.width = cut_line});
    const std::string number = fmt::format("{:g}", mark.on_piece_mm);
    const PageText words{.size = 2.2, .align = Align::centre};
    // Beyond the mark's outer end.
    if (from.x == to.x)
      pdf.text({to.x, to.y < from.y ? to.y - 0.7 : to.y + 2.4}, number, words);
    else
      pdf.text({to.x < from.x ? to.x - 2.6 : to.x + 2.6, to.y + 0.8}, number, words);
  }
}

// The corner of the sheet that is the top left of the piece, solid black: kept clear of the pin holes, which
// stand in the middle of the border.
void draw_corner(PdfDocument& pdf, const Stencil& stencil) {
  const double border = stencil.border.value();
  const double leg = std::min(8.0, border * 0.4);
  pdf.fill({{0, 0}, {leg, 0}, {0, leg}}, 0);
  constexpr double least_for_words = 14;
  if (border >= least_for_words && stencil.width.value() >= least_for_words)
    pdf.text({leg + 1.5, 5}, "TOP LEFT", {.size = 3.6, .weight = Weight::bold});
}

void draw_cross(PdfDocument& pdf, PointMm at) {
  const Stroke stroke{.width = thin_line};
  pdf.line({at.x - cross_arm, at.y}, {at.x + cross_arm, at.y}, stroke);
  pdf.line({at.x, at.y - cross_arm}, {at.x, at.y + cross_arm}, stroke);
}

// Crosses along a seam of this length, the same on both pages; none beside where it meets another seam, which
// has a cross of its own.
std::vector<double> crosses(double length, const std::vector<double>& other_seams) {
  constexpr double clear = 15;
  std::vector<double> places;
  for (int k = 0; k * cross_every <= length; ++k) {
    const double at = k * cross_every;
    if (std::none_of(other_seams.begin(), other_seams.end(),
                     [at](double seam) { return std::abs(seam - at) < clear; }))
      places.push_back(at);
  }
  return places;
}

// Middles of the strips that neighbours share, from left to right or top to bottom.
std::vector<double> seams(int parts, double step, double overlap) {
  std::vector<double> places;
  for (int k = 1; k < parts; ++k)
    places.push_back(k * step + overlap / 2);
  return places;
}

void draw_seams(PdfDocument& pdf, const Tiling& tiling, const PageTile& tile, const StencilSheet& sheet) {
  const Stroke dashed{.width = thin_line, .grey = seam_grey, .dash = 2};
  const PageText words{.size = 3, .grey = seam_grey};
  const BoxMm& box = tile.box;
  const std::vector<double> across = seams(tiling.columns, tiling.step_x, tiling.overlap);
  const std::vector<double> down = seams(tiling.rows, tiling.step_y, tiling.overlap);
  const auto words_at = [](double from, double seam) {
    return seam < from ? "trim here" : "next page to here";
  };
  for (const double x : across) {
    if (x < box.left || x > box.right)
      continue;
    pdf.line({x, box.top}, {x, box.bottom}, dashed);
    for (const double y : crosses(sheet.height, down))
      draw_cross(pdf, {x, y});
    const double start = box.bottom - (tile.row + 1 < tiling.rows ? tiling.overlap : 0) - 3;
    pdf.text_upwards({x - 1.5, start}, words_at(box.left + tiling.overlap, x), words);
  }
  for (const double y : down) {
    if (y < box.top || y > box.bottom)
      continue;
    pdf.line({box.left, y}, {box.right, y}, dashed);
    for (const double x : crosses(sheet.width, across))
      draw_cross(pdf, {x, y});
    const double start = box.left + (tile.column > 0 ? tiling.overlap : 0) + 3;
    pdf.text({start, y - 1}, words_at(box.top + tiling.overlap, y), words);
  }
  for (const double x : across) {
    for (const double y : down)
      draw_cross(pdf, {x, y});
  }
}

}  // namespace

void draw_tile(PdfDocument& pdf, const Stencil& stencil, const Tiling& tiling, const PageTile& tile,
               PointMm at) {
  // Room for half a line's width, so that the edge of the sheet is drawn whole.
  const double rim = cut_line;
  pdf.clip({at.x - tile.box.left, at.y - tile.box.top}, 1,
           {tile.box.left - rim, tile.box.top - rim, tile.box.right + rim, tile.box.bottom + rim});
  draw_cuts(pdf, stencil, 1);
  draw_corner(pdf, stencil);
  draw_marks(pdf, stencil);
  draw_seams(pdf, tiling, tile, sheet_of(stencil));
  pdf.unclip();
}

void draw_map(PdfDocument& pdf, const Stencil& stencil, const Tiling& tiling,
              const std::map<std::pair<int, int>, std::size_t>& page_of, const BoxMm& box) {
  const StencilSheet sheet = sheet_of(stencil);
  const double zoom =
      std::min({(box.right - box.left) / sheet.width, (box.bottom - box.top) / sheet.height, 1.0});
  const PointMm at{(box.left + box.right - sheet.width * zoom) / 2, box.top};
  pdf.clip(at, zoom, {-1, -1, sheet.width + 1, sheet.height + 1});
  draw_cuts(pdf, stencil, zoom);
  const double leg = 5 / zoom;
  pdf.fill({{0, 0}, {leg, 0}, {0, leg}}, 0);
  pdf.unclip();

  const Stroke seam{.width = 0.4, .dash = 1.5};
  std::vector<double> columns = seams(tiling.columns, tiling.step_x, tiling.overlap);
  std::vector<double> rows = seams(tiling.rows, tiling.step_y, tiling.overlap);
  for (const double x : columns)
    pdf.line({at.x + x * zoom, at.y}, {at.x + x * zoom, at.y + sheet.height * zoom}, seam);
  for (const double y : rows)
    pdf.line({at.x, at.y + y * zoom}, {at.x + sheet.width * zoom, at.y + y * zoom}, seam);

  columns.insert(columns.begin(), 0);
  columns.push_back(sheet.width);
  rows.insert(rows.begin(), 0);
  rows.push_back(sheet.height);
  for (const PageTile& tile : tiling.tiles) {
    const auto c = static_cast<std::size_t>(tile.column), r = static_cast<std::size_t>(tile.row);
    const double width = (columns[c + 1] - columns[c]) * zoom, height = (rows[r + 1] - rows[r]) * zoom;
    const double size = std::min({7.0, width / 3, height / 3});
    const PointMm middle{at.x + (columns[c] + columns[c + 1]) / 2 * zoom,
                         at.y + (rows[r] + rows[r + 1]) / 2 * zoom};
    const auto page = page_of.find({tile.column, tile.row});
    const std::string where = page == page_of.end() ? "no cut" : fmt::format("page {}", page->second);
    const PageText name{.size = size, .weight = Weight::bold, .align = Align::centre, .halo = size * 0.12};
    const PageText number{.size = size * 0.6, .align = Align::centre, .halo = size * 0.12};
    pdf.text({middle.x, middle.y - size * 0.05}, tile_name(tile.column, tile.row), name);
    pdf.text({middle.x, middle.y + size * 0.72}, where, number);
  }
}

void draw_panels(PdfDocument& pdf, const PanelOnPage& panel, const BoxMm& box) {
  const double zoom =
      std::min((box.right - box.left) / panel.width.value(), (box.bottom - box.top) / panel.height.value());
  const PointMm at{box.right - panel.width.value() * zoom, box.top};
  for (std::size_t i = 0; i < panel.all.size(); ++i) {
    const BoxMm& one = panel.all[i];
    const BoxMm on_page{at.x + one.left * zoom, at.y + one.top * zoom, at.x + one.right * zoom,
                        at.y + one.bottom * zoom};
    const bool here = i + 1 == panel.number;
    if (here)
      pdf.fill(rectangle(on_page), 0);
    pdf.shape(rectangle(on_page), {.width = 0.25});
    const double size =
        std::min({4.0, (on_page.right - on_page.left) / 1.8, (on_page.bottom - on_page.top) / 1.3});
    pdf.text({(on_page.left + on_page.right) / 2, (on_page.top + on_page.bottom) / 2 + 0.36 * size},
             std::to_string(i + 1),
             {.size = size, .weight = Weight::bold, .align = Align::centre, .grey = here ? 1.0 : 0.0});
  }
}

}  // namespace powderplan
