#include "report/page_table.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "report/page_column.h"

namespace powderplan {
namespace {

constexpr double head_size = 0.78, side_room = 0.35, row_room = 0.28;  // of the letters
constexpr double chip_width = 46.0 / 28, chip_height = 1.35, box_width = 1.9;
constexpr double least_word = 5.5;  // ems

double of_cell(PdfDocument& pdf, const TableCell& cell, const PageText& style) {
  if (cell.chip)
    return chip_width * chip_height * style.size;
  return std::max(cell.boxed ? box_width * style.size : 0, pdf.text_width(cell.words, style));
}

}  // namespace

void draw_chip(PdfDocument& pdf, PointMm at, double height, const ChipColours& colours) {
  const double unit = height / 28, top = at.y + 2.5 * unit, bottom = at.y + 25.5 * unit;
  const auto field = [&](double left, double right) {
    return PolygonMm{{at.x + left * unit, top},
                     {at.x + right * unit, top},
                     {at.x + right * unit, bottom},
                     {at.x + left * unit, bottom}};
  };
  pdf.fill(field(1.5, 22.5), colours.loose);
  pdf.shape(field(1.5, 22.5), {.width = unit, .dash = 1.4 * unit});
  pdf.fill(field(22.5, 44.5), colours.fired);
  pdf.shape(field(22.5, 44.5), {.width = 1.4 * unit});
}

PageText PageTable::style_of(std::size_t column, const TableCell& cell) const {
  return {.size = size_ * cell.larger,
          .weight = cell.weight,
          .align = columns_[column].number ? Align::right : Align::left,
          .line_pitch = 1.24};
}

PageText PageTable::head_style(std::size_t column) const {
  return {.size = size_ * head_size,
          .align = columns_[column].number ? Align::right : Align::left,
          .line_pitch = 1.18};
}

double PageTable::inner(std::size_t column) const {
  return widths_[column] - 2 * side_room * size_;
}

void PageTable::measure(PdfDocument& pdf, double width) {
  const double beside = 2 * side_room * size_;
  widths_.assign(columns_.size(), 0);
  double shares = 0, taken = 0;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    double needed = 0;
    if (columns_[c].number || columns_[c].share == 0) {
      for (const auto& row : rows_)
        needed = std::max(needed, of_cell(pdf, row[c], style_of(c, row[c])));
      // A heading is broken between its words.
      std::string word;
      for (const char letter : columns_[c].heading + ' ') {
        if (letter != ' ') {
          word += letter;
          continue;
        }
        needed = std::max(needed, pdf.text_width(word, head_style(c)));
        word.clear();
      }
      widths_[c] = needed + beside;
      taken += widths_[c];
    } else {
      shares += columns_[c].share;
    }
  }
  has_room_ = true;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    if (widths_[c] > 0)
      continue;
    widths_[c] = std::max(0.0, width - taken) * columns_[c].share / shares;
    has_room_ = has_room_ && inner(c) >= least_word * size_;
    widths_[c] = std::max(widths_[c], beside + size_);
  }
  if (shares == 0) {
    const double spread = (width - taken) / static_cast<double>(columns_.size());
    has_room_ = spread >= 0;
    for (double& w : widths_)
      w += std::max(0.0, spread);
  }
}

double PageTable::width() const {
  return std::accumulate(widths_.begin(), widths_.end(), 0.0);
}

double PageTable::head_height(PdfDocument& pdf) const {
  double height = 0;
  for (std::size_t c = 0; c < columns_.size(); ++c)
    height = std::max(height, pdf.paragraph_height(inner(c), columns_[c].heading, head_style(c)));
  return height + row_room * size_;
}

double PageTable::row_height(PdfDocument& pdf, std::size_t row) const {
  double height = 0;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    const TableCell& cell = rows_[row][c];
    const PageText style = style_of(c, cell);
    height = std::max(height, cell.chip    ? chip_height * size_
                              : cell.boxed ? 1.5 * style.size
                                           : pdf.paragraph_height(inner(c), cell.words, style));
  }
  return height + row_room * size_;
}

double PageTable::height(PdfDocument& pdf) const {
  double height = head_height(pdf);
  for (std::size_t row = 0; row < rows_.size(); ++row)
    height += row_height(pdf, row);
  return height;
}

void PageTable::draw_head(PdfDocument& pdf, PointMm top) const {
  const double bottom = top.y + head_height(pdf);
  double x = top.x;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    const double high = pdf.paragraph_height(inner(c), columns_[c].heading, head_style(c));
    paragraph_below(pdf, {x + side_room * size_, bottom - 0.5 * row_room * size_ - high}, inner(c),
                    marked(columns_[c].heading), head_style(c));
    x += widths_[c];
  }
  pdf.line({top.x, bottom}, {x, bottom}, {.width = 0.14 * size_});
}

void PageTable::draw_row(PdfDocument& pdf, std::size_t row, PointMm top) const {
  const double height = row_height(pdf, row), middle = top.y + height / 2;
  double x = top.x;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    const TableCell& cell = rows_[row][c];
    const PageText style = style_of(c, cell);
    const double left = x + side_room * size_;
    if (cell.chip) {
      draw_chip(pdf, {left, middle - chip_height * size_ / 2}, chip_height * size_, *cell.chip);
    } else if (cell.boxed) {
      const double wide =
          std::max(box_width * style.size, pdf.text_width(cell.words, style) + 0.5 * style.size);
      const double high = 1.36 * style.size;
      pdf.shape({{left, middle - high / 2},
                 {left + wide, middle - high / 2},
                 {left + wide, middle + high / 2},
                 {left, middle + high / 2}},
                {.width = 0.1 * style.size});
      PageText inside = style;
      inside.align = Align::centre;
      inside.line_pitch = 1;
      paragraph_below(pdf, {left, middle - style.size / 2 + 0.06 * style.size}, wide, cell.words, inside);
    } else {
      const double high = pdf.paragraph_height(inner(c), cell.words, style);
      paragraph_below(pdf, {left, middle - high / 2}, inner(c), cell.words, style);
    }
    x += widths_[c];
  }
  pdf.line({top.x, top.y + height}, {x, top.y + height}, {.width = 0.15, .grey = 0.55});
}

double PageTable::draw(PdfDocument& pdf, PointMm top) const {
  draw_head(pdf, top);
  top.y += head_height(pdf);
  for (std::size_t row = 0; row < rows_.size(); ++row) {
    draw_row(pdf, row, top);
    top.y += row_height(pdf, row);
  }
  return top.y;
}

}  // namespace powderplan
