#include "measure/tile_layout.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

// Paper that printers leave white, and some more (common practice, no source).
constexpr double page_edge = 6;
constexpr double mark_from_edge = page_edge + mark_clear;
// What lies between marks keeps clear of them, and of the edge of the page.
constexpr double clear_of_marks = mark_from_edge + mark_clear + white_gap;
constexpr double white_width = 8;  // of the white places beside the rows
constexpr double head_bottom = 16;
constexpr double glass_left = page_edge + white_width + white_gap + side_words + 1;
constexpr double least_band = 10;  // of white paper between rows, its gaps included
constexpr double reference_from_bottom = 9;

double reference_top(const CardPage& page) {
  return page.height - reference_from_bottom - reference_height;
}

double half_millimetres(double length) {
  return std::floor(length * 2 + 1e-9) / 2;
}

double row_height(double cell_height) {
  return 2 * (cell_height + strip_edge);
}

// White paper across the page from `top` to `bottom`, as three places.
void add_band(std::vector<BoxMm>& white, const CardPage& page, double top, double bottom) {
  constexpr int parts = 3;
  const double left = clear_of_marks, width = page.width - 2 * clear_of_marks;
  const double each = (width - (parts - 1) * white_gap) / parts;
  for (int i = 0; i < parts; ++i) {
    const double from = left + i * (each + white_gap);
    white.push_back({from, top + white_gap, from + each, bottom - white_gap});
  }
}

}  // namespace

double widest_cell(const CardPage& page, std::size_t cells) {
  const auto n = static_cast<double>(cells);
  return half_millimetres((page.width - 2 * glass_left - 2 * strip_edge - (n - 1) * cell_gap) / n);
}

double highest_cell(const CardPage& page, std::size_t rows) {
  const auto n = static_cast<double>(rows);
  const double for_rows = reference_top(page) - head_bottom - (n + 1) * least_band;
  return half_millimetres(for_rows / n / 2 - strip_edge);
}

TileLayout layout_of_tile(const CardPage& page, std::size_t rows, std::size_t cells, const CellSize& size) {
  TileLayout layout;
  const double right_mark = page.width - mark_from_edge, low_mark = page.height - mark_from_edge;
  layout.card.marks = {{{mark_from_edge, mark_from_edge},
                        {right_mark, mark_from_edge},
                        {right_mark, low_mark},
                        {mark_from_edge, low_mark}}};
  const auto n = static_cast<double>(cells);
  const double wide = n * size.width + (n - 1) * cell_gap + 2 * strip_edge;
  const double left = std::floor((page.width - wide) / 2), high = row_height(size.height);
  const double band =
      (reference_top(page) - head_bottom - static_cast<double>(rows) * high) / static_cast<double>(rows + 1);
  double y = head_bottom;
  for (std::size_t r = 0; r < rows; ++r) {
    const double top = half_millimetres(y + band), seam = top + high / 2, bottom = top + high;
    add_band(layout.card.white, page, y, top);
    for (const double side : {page_edge, page.width - page_edge - white_width})
      layout.card.white.push_back({side, top, side + white_width, bottom});
    std::vector<CellPlace> row;
    for (std::size_t c = 0; c < cells; ++c) {
      const double from = left + strip_edge + static_cast<double>(c) * (size.width + cell_gap);
      const double to = from + size.width;
      row.push_back({{from, seam - size.height, to, seam}, {from, seam, to, seam + size.height}});
    }
    layout.rows.push_back(std::move(row));
    y = bottom;
  }
  add_band(layout.card.white, page, y, reference_top(page));

  const BoxMm reference{clear_of_marks, reference_top(page), clear_of_marks + reference_width,
                        reference_top(page) + reference_height};
  layout.card.reference = reference;
  // Below the words beside the reference, so that there is white down there too.
  layout.card.white.push_back(
      {reference.right + 2 * white_gap, reference.bottom - 6, page.width - clear_of_marks, reference.bottom});
  return layout;
}

StripPair strips_of(const TileRow& row) {
  const TileCell &first = row.cells.front(), &last = row.cells.back();
  const double left = first.light.left - strip_edge, right = last.light.right + strip_edge;
  return {{left, first.light.top - strip_edge, right, first.light.bottom},
          {left, first.dark.top, right, first.dark.bottom + strip_edge}};
}

CardWords words_of_card(const CardPage& page) {
  const double right = page.width - clear_of_marks, top = reference_top(page);
  return {.head = {clear_of_marks, page_edge, right, head_bottom},
          .beside = {clear_of_marks + reference_width + 2 * white_gap + 1, top, right,
                     top + reference_height - 6 - white_gap},
          .left = page_edge + white_width + white_gap};
}

}  // namespace powderplan
