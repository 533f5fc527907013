#include "report/page_column.h"

#include <algorithm>
#include <cmath>

#include "report/utf8.h"

namespace powderplan {
namespace {

// Of DejaVu Sans, ems: what letters with strokes upwards and downwards take.
constexpr double above_baseline = 0.76, below_baseline = 0.24;
constexpr double tick_room = 1.75, bullet_room = 1.0;  // ems before the words

double indent_of(const ColumnItem& item) {
  return item.style.size * (item.to_tick ? tick_room : item.bullet ? bullet_room : 0);
}

}  // namespace

double first_baseline(const PageText& style) {
  return style.size * ((style.line_pitch - above_baseline - below_baseline) / 2 + above_baseline);
}

double paragraph_below(PdfDocument& pdf, PointMm top, double width, const Markup& words,
                       const PageText& style) {
  return pdf.paragraph({top.x, top.y + first_baseline(style)}, width, words, style) - first_baseline(style);
}

std::string within_lines(PdfDocument& pdf, const std::string& utf8, double width, const PageText& style,
                         std::size_t lines) {
  const double most = (static_cast<double>(lines) + 0.5) * style.size * style.line_pitch;
  const auto fits = [&](const std::string& text) { return pdf.paragraph_height(width, text, style) <= most; };
  std::string text = plain_text(utf8);
  // No line holds more letters than this: what is beyond need not be set.
  const auto letters =
      static_cast<std::size_t>(std::ceil(static_cast<double>(lines) * width / (0.1 * style.size)));
  if (constexpr std::size_t bytes = 4; text.size() > letters * bytes)
    text.resize(letters * bytes);
  return fits(text) ? text : shortened(plain_text(text), fits);
}

void draw_tick_box(PdfDocument& pdf, PointMm top, double side) {
  pdf.shape({top, {top.x + side, top.y}, {top.x + side, top.y + side}, {top.x, top.y + side}},
            {.width = 0.09 * side});
}

double height_of(PdfDocument& pdf, const ColumnItem& item, double width) {
  return pdf.paragraph_height(width - indent_of(item), item.words, item.style);
}

void draw_item(PdfDocument& pdf, const ColumnItem& item, PointMm top, double width) {
  const double indent = indent_of(item), size = item.style.size;
  const double baseline = top.y + first_baseline(item.style);
  if (item.to_tick)
    draw_tick_box(pdf, {top.x + 0.05 * size, baseline - 0.92 * size}, 1.05 * size);
  if (item.bullet)
    pdf.disc({top.x + 0.35 * size, baseline - 0.28 * size}, 0.14 * size, {0, 0, 0});
  paragraph_below(pdf, {top.x + indent, top.y}, width - indent, item.words, item.style);
}

void PageColumn::add(const std::vector<PageParagraph>& paragraphs, double size) {
  for (const PageParagraph& paragraph : paragraphs) {
    ColumnItem item{.words = paragraph.words, .style = {.size = size}, .above = 0.45 * size};
    const bool fine = paragraph.look == "sheetfacts" || paragraph.look == "why" || paragraph.look == "under";
    if (paragraph.kind == ParagraphKind::heading)
      item.style = {.size = 1.02 * size, .weight = Weight::bold}, item.above = 0.9 * size;
    else if (paragraph.look == "tool")
      item.style.size = 1.3 * size;
    else if (fine)
      item.style.size = 0.84 * size;
    item.to_tick = paragraph.kind == ParagraphKind::check;
    item.bullet = paragraph.kind == ParagraphKind::item;
    add(std::move(item));
  }
}

void PageColumn::heading(const std::string& text, double size) {
  add({.words = marked(text), .style = {.size = 1.02 * size, .weight = Weight::bold}, .above = 0.9 * size});
}

double PageColumn::height(PdfDocument& pdf, double width) const {
  double height = 0;
  for (std::size_t i = 0; i < items_.size(); ++i)
    height += (i > 0 ? items_[i].above : 0) + height_of(pdf, items_[i], width);
  return height;
}

double PageColumn::draw(PdfDocument& pdf, PointMm top, double width) const {
  for (std::size_t i = 0; i < items_.size(); ++i) {
    top.y += i > 0 ? items_[i].above : 0;
    draw_item(pdf, items_[i], top, width);
    top.y += height_of(pdf, items_[i], width);
  }
  return top.y;
}

}  // namespace powderplan
