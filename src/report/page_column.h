// Words stacked in a column of a printed page: measured first, then drawn.
#pragma once

#include <string>
#include <vector>

#include "report/page_paragraphs.h"
#include "report/pdf_document.h"

namespace powderplan {

// Where the first baseline of a paragraph lies below its top, mm: its lines stand in the middle of their
// pitch.
double first_baseline(const PageText& style);
// A paragraph by its top left corner; returns its bottom.
double paragraph_below(PdfDocument& pdf, PointMm top, double width, const Markup& words,
                       const PageText& style);

// So much of the text's beginning, in whole characters and with an ellipsis, as does not take more lines.
std::string within_lines(PdfDocument& pdf, const std::string& utf8, double width, const PageText& style,
                         std::size_t lines);

// The style with so much smaller letters that the text takes no more lines: down to a third, then it takes
// more.
PageText in_lines(PdfDocument& pdf, const std::string& utf8, double width, PageText style, std::size_t lines);

struct ColumnItem {
  Markup words;
  PageText style;
  double above = 0;  // room over it, mm; none at the top of the column
  bool to_tick = false, bullet = false;
};

class PageColumn {
 public:
  void add(ColumnItem item) { items_.push_back(std::move(item)); }
  // `size`: of the letters of an ordinary paragraph; those of other looks follow from it.
  void add(const std::vector<PageParagraph>& paragraphs, double size);
  void heading(const std::string& text, double size);

  [[nodiscard]] double height(PdfDocument& pdf, double width) const;
  // Returns the bottom.
  double draw(PdfDocument& pdf, PointMm top, double width) const;
  [[nodiscard]] const std::vector<ColumnItem>& items() const { return items_; }

 private:
  std::vector<ColumnItem> items_;
};

double height_of(PdfDocument& pdf, const ColumnItem& item, double width);
void draw_item(PdfDocument& pdf, const ColumnItem& item, PointMm top, double width);

}  // namespace powderplan
