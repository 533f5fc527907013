#include "report/page_column.h"

#include <algorithm>

#include "utf8.h"

namespace powderplan {
namespace {

// Of DejaVu Sans, ems: what letters with strokes upwards and downwards take.
constexpr double above_baseline = 0.76, below_baseline = 0.24;
constexpr double tick_room = 1.75, bullet_room = 1.0;  // ems before the words

double indent_of(const ColumnItem& item) {
  return item.style.size * (item.to_tick ? tick_room : item.bullet ? bullet_room : 0);
}

// An open box, by its top left corner.
void draw_tick_box(PdfDocument& pdf, PointMm top, double side) {
  pdf.shape({top, {top.x + side, top.y}, {top.x + side, top.y + side}, {top.x, top.y + side}},
            {.width = 0.09 * side});
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
  const std::string text = plain_text(utf8);
  const double most = (static_cast<double>(lines) + 0.5) * style.size * style.line_pitch;
  const auto fits = [&](const std::string& words) {
    return pdf.paragraph_height(width, words, style) <= most;
  };
  std::vector<std::size_t> ends;  // of its characters
  for (std::size_t i = 1; i <= text.size(); ++i) {
    if (i == text.size() || (static_cast<unsigned char>(text[i]) & 0xc0) != 0x80)
      ends.push_back(i);
  }
  // No line holds more letters than this: what is beyond need not be set.
  constexpr double narrowest = 0.1;
  const auto letters =
      static_cast<std::size_t>(static_cast<double>(lines) * width / (narrowest * style.size));
  if (ends.size() <= letters && fits(text))
    return text;
  const std::string ellipsis = "\u2026";
  const auto last = ends.begin() + static_cast<std::ptrdiff_t>(std::min(letters, ends.size()));
  const auto end = std::partition_point(
      ends.begin(), last, [&](std::size_t size) { return fits(text.substr(0, size) + ellipsis); });
  return (end == ends.begin() ? std::string() : text.substr(0, *(end - 1))) + ellipsis;
}

PageText in_lines(PdfDocument& pdf, const std::string& utf8, double width, PageText style,
                  std::size_t lines) {
  constexpr double step = 0.88;
  const double smallest = style.size / 3;
  while (style.size * step >= smallest &&
         pdf.paragraph_height(width, utf8, style) >
             (static_cast<double>(lines) + 0.5) * style.size * style.line_pitch)
    style.size *= step;
  return style;
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
