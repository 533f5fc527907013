#include "report/tile_pdf.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "measure/tile_layout.h"
#include "report/bench_numbers.h"
#include "report/cautions.h"
#include "report/mark_drawing.h"
#include "report/pdf_document.h"
#include "report/template_pages.h"

namespace powderplan {
namespace {

constexpr double hair = 0.25;
constexpr double pale = 0.86;  // of what stands for the dark strip, as grey

PolygonMm corners_of(const BoxMm& box) {
  return {{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}};
}

PointMm middle_of(const BoxMm& box) {
  return {(box.left + box.right) / 2, (box.top + box.bottom) / 2};
}

class TilePages {
 public:
  explicit TilePages(const Tile& tile)
      : tile_(tile),
        page_{tile.card_width, tile.card_height},
        words_(words_of_card(page_)),
        pdf_("Step tile at true size") {}

  std::vector<std::uint8_t> draw() {
    begin_page("Card for the photo");
    card();
    begin_page("Laying guide");
    guide();
    begin_page("Mask and collar");
    mask_and_collar();
    return pdf_.bytes();
  }

 private:
  void begin_page(const std::string& name) {
    pdf_.page(Millimetres(page_.width), Millimetres(page_.height));
    pdf_.bookmark(name);
  }

  // Size at which the text is at most so wide.
  double size_for(const std::string& text, double width, PageText style) {
    const double wide = pdf_.text_width(text, style);
    return wide <= width ? style.size : style.size * width / wide;
  }

  void check_length(double left, double y) {
    const double right = left + tile_check_length;
    pdf_.line({left, y}, {right, y}, {.width = hair});
    for (const double x : {left, right})
      pdf_.line({x, y - 2}, {x, y + 2}, {.width = hair});
    pdf_.text({(left + right) / 2, y - 1.2}, fmt::format("{:g} mm", tile_check_length),
              {.size = 3.6, .weight = Weight::bold, .align = Align::centre});
  }

  // Text up along a side, its middle at `y`, as large as there is room.
  void upwards(double x, double y, double length, const std::string& text, PageText style) {
    style.align = Align::centre;
    style.size = size_for(text, length, style);
    pdf_.text_upwards({x, y}, text, style);
  }

  void card() {
    for (std::size_t i = 0; i < tile_.card.marks.size(); ++i)
      draw_mark(pdf_, tile_.card.marks[i], i == 0);
    const BoxMm& head = words_.head;
    const double middle = (head.left + head.right) / 2, inner = head.right - head.left;
    const auto centred = [&](double y, const std::string& text, PageText style) {
      style.align = Align::centre;
      style.size = size_for(text, inner, style);
      pdf_.text({middle, y}, text, style);
    };
    centred(head.top + 4, "\u25b2  This edge is the top. The white eye is top left.",
            {.size = 4, .weight = Weight::bold});
    centred(head.top + 8.6, "Lay the fired tile into its frames. Keep all other paper bare.", {.size = 3.2});
    for (const TileRow& row : tile_.rows)
      frame(row);
    if (tile_.card.reference)
      reference(*tile_.card.reference);
    beside_reference();
  }

  void frame(const TileRow& row) {
    const StripPair strips = strips_of(row);
    const BoxMm whole{strips.light.left, strips.light.top, strips.dark.right, strips.dark.bottom};
    pdf_.shape(corners_of(whole), {.width = hair});
    pdf_.line({whole.left, strips.light.bottom}, {whole.right, strips.light.bottom},
              {.width = 0.2, .grey = 0.6});
    const double height = whole.bottom - whole.top, left = words_.left, y = middle_of(whole).y;
    upwards(left + 3, y, height - 2, row.name, {.size = 3.2, .weight = Weight::bold});
    upwards(left + 6.4, y, height - 2, "bare end", {.size = 3});
    const double right = page_.width - words_.left - side_words;
    upwards(right + 3.6, middle_of(strips.light).y, height / 2 - 3, "light: " + tile_.light_sheet,
            {.size = 3});
    upwards(right + 3.6, middle_of(strips.dark).y, height / 2 - 3, "dark: " + tile_.dark_sheet, {.size = 3});
  }

  // Like a picture that is missing: one sees that something belongs there.
  void reference(const BoxMm& place) {
    for (const auto& [from, to] :
         {std::pair(PointMm{place.left, place.top}, PointMm{place.right, place.bottom}),
          std::pair(PointMm{place.right, place.top}, PointMm{place.left, place.bottom})})
      pdf_.line(from, to, {.width = 0.2, .grey = 0.65});
    pdf_.shape(corners_of(place), {.width = 0.5, .dash = 3});
    const PointMm middle = middle_of(place);
    const auto line = [&](double y, const std::string& text, double size, Weight weight) {
      pdf_.text({middle.x, middle.y + y}, text,
                {.size = size, .weight = weight, .align = Align::centre, .halo = 1.2});
    };
    line(-3, "GREY CARD", 7, Weight::bold);
    line(4, "or colour chart: lay it here,", 3.4, Weight::normal);
    line(9, "so that it covers this place", 3.4, Weight::normal);
  }

  void beside_reference() {
    const BoxMm& place = words_.beside;
    const double wide = place.right - place.left;
    double y = place.top + 5.5;
    check_length(place.left, y);
    pdf_.paragraph({place.left + tile_check_length + 3, y - 2}, wide - tile_check_length - 3,
                   "Measure it: print at 100 %, no scaling.", {.size = 3});
    y = pdf_.paragraph({place.left, y + 7}, wide,
                       "Photo: daylight from one side, no flash, no lamps. Hold the phone flat above the "
                       "middle, all four marks in the picture.",
                       {.size = 3});
    pdf_.paragraph({place.left, y + 1}, wide, "No shine, no shadow on glass or paper.",
                   {.size = 3, .weight = Weight::bold});
  }

  void guide() {
    const BoxMm& head = words_.head;
    pdf_.text({page_margin, head.top + 6}, "Laying guide, at true size", {.size = 6, .weight = Weight::bold});
    pdf_.text(
        {page_margin, head.top + 11},
        "Light strip above, dark strip below, edge to edge. All of a cell's powder on both halves alike.",
        {.size = 3.2});
    for (const TileRow& row : tile_.rows)
      guide_row(row);
    const double base = page_.height - page_margin;
    check_length(page_margin, base - 2);
    const double left = page_margin + tile_check_length + 6;
    const PageText words{.size = 3.4}, bold{.size = 3.4, .weight = Weight::bold};
    double y = base - 27;
    y = pdf_.paragraph(
        {page_margin, y}, page_.width - 2 * page_margin,
        fmt::format("Finish: {}. Light sheet: {}. Dark sheet: {}. Grams are for the whole cell, both halves "
                    "together. A mask and a collar of a cell's size are on the next page.",
                    name_of(tile_.finish), tile_.light_sheet, tile_.dark_sheet),
        words);
    y = pdf_.paragraph({left, std::max(y + 2, base - 12)}, page_.width - page_margin - left, dust_reminder(),
                       bold);
    pdf_.paragraph({left, y + 0.5}, page_.width - page_margin - left, "Edges of cut glass are sharp.", bold);
  }

  void guide_row(const TileRow& row) {
    const StripPair strips = strips_of(row);
    pdf_.fill(corners_of(strips.dark), pale);
    pdf_.shape(corners_of(strips.light), {.width = 0.4});
    pdf_.shape(corners_of(strips.dark), {.width = 0.4});
    const double height = strips.dark.bottom - strips.light.top;
    upwards(strips.light.left - 3, strips.light.bottom, height, row.name,
            {.size = 4.4, .weight = Weight::bold});
    for (std::size_t i = 0; i < row.cells.size(); ++i)
      guide_cell(row.cells[i], i);
  }

  void guide_cell(const TileCell& cell, std::size_t number) {
    const BoxMm whole{cell.light.left, cell.light.top, cell.dark.right, cell.dark.bottom};
    pdf_.shape(corners_of(whole), {.width = hair, .dash = 1.2});
    const double wide = whole.right - whole.left - 1.5, x = middle_of(whole).x;
    const auto line = [&](double y, const std::string& text, PageText style) {
      style.align = Align::centre;
      style.size = size_for(text, wide, style);
      pdf_.text({x, y}, text, style);
    };
    line(cell.light.top + 10, fmt::format("{}", number + 1), {.size = 10, .weight = Weight::bold});
    const bool bare = cell.grams == Grams(0);
    std::string grams = shown_on_scale(cell.grams, tile_.scale);
    line(cell.dark.top + 8, bare ? "bare" : grams.substr(0, grams.find(' ')),
         {.size = 8.5, .weight = Weight::bold});
    if (bare)
      return;
    line(cell.dark.top + 12.5, "g", {.size = 4.5, .weight = Weight::bold});
    line(cell.light.bottom - 2.5, shown(cell.load), {.size = 3});
  }

  // All cells of a card have one size; the mask is for that of the first. It is open at the right: there lies
  // powder already, on which nothing may be laid.
  void mask_and_collar() {
    constexpr double border = 20, tab = 8;
    const TileCell& cell = tile_.rows.front().cells.front();
    const double width = cell.light.right - cell.light.left;
    const double height = cell.dark.bottom - cell.light.top;
    pdf_.text({page_margin, 16}, "Mask and collar, at true size", {.size = 6, .weight = Weight::bold});
    double y = pdf_.paragraph(
        {page_margin, 23}, page_.width - 2 * page_margin,
        "Print this page at 100 % on card, or glue it on. Cut along full lines, fold along dashed ones. "
        "Begin "
        "with the heaviest cell, at the right end, and go left. The mask lies flat on the cells that are "
        "still "
        "empty, its ticks on the seam of the strips; its open side is turned to those that have their "
        "powder. "
        "The two walls, glued at their tabs, make a collar that stands in the opening, its edges between the "
        "cells: what is sifted inside lands on the cell.",
        {.size = 3.4});
    y = pdf_.paragraph({page_margin, y + 0.5}, page_.width - 2 * page_margin,
                       cut_reminder() + " " + dust_reminder(), {.size = 3.4, .weight = Weight::bold});
    const double top = y + 3;
    const BoxMm opening{page_margin + border, top + border, page_margin + border + width,
                        top + border + height};
    const double low = opening.bottom + border;
    pdf_.shape({{page_margin, top},
                {opening.right, top},
                {opening.right, opening.top},
                {opening.left, opening.top},
                {opening.left, opening.bottom},
                {opening.right, opening.bottom},
                {opening.right, low},
                {page_margin, low}},
               {.width = 0.4});
    // Exactly as far down as the seam lies in a cell.
    const double seam = opening.top + (cell.light.bottom - cell.light.top);
    pdf_.line({opening.left - 8, seam}, {opening.left, seam}, {.width = 0.4});
    const PageText small{.size = 3, .align = Align::centre};
    const double middle = (page_margin + opening.right) / 2;
    pdf_.text({middle, top + 8}, "light strip this side", small);
    pdf_.text({middle, low - 6}, "dark strip this side", small);
    pdf_.text({(opening.left + opening.right) / 2, opening.top + 8}, "open",
              {.size = std::min(5.0, width / 4), .align = Align::centre});

    double left = opening.right + 12;
    for (int wall = 0; wall < 2; ++wall) {
      const BoxMm box{left, top, left + collar_height, top + tab + height + width};
      pdf_.shape(corners_of(box), {.width = 0.4});
      for (const double fold : {top + tab, top + tab + height})
        pdf_.line({box.left, fold}, {box.right, fold}, {.width = hair, .dash = 1.5});
      pdf_.text({middle_of(box).x, top + 5.2}, "tab", {.size = 3, .align = Align::centre});
      upwards(middle_of(box).x + 1.2, top + tab + height / 2, height, "collar, long wall", {.size = 3});
      upwards(middle_of(box).x + 1.2, top + tab + height + width / 2, width - 2, "short wall", {.size = 3});
      left = box.right + 6;
    }
    check_length(page_margin, page_.height - page_margin - 2);
  }

  const Tile& tile_;
  CardPage page_;
  CardWords words_;
  PdfDocument pdf_;
};

}  // namespace

std::vector<std::uint8_t> tile_pdf(const Tile& tile) {
  return TilePages(tile).draw();
}

}  // namespace powderplan
