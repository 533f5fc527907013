// Tables on printed pages: measured first, then drawn row by row, so that a head can be repeated and no row
// is broken.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "report/pdf_document.h"

namespace powderplan {

// A powder's two colours: loose in the jar (dotted edge), and fired. `width` of the drawing is 46 / 28 of its
// height.
struct ChipColours {
  Rgb8 loose, fired;
};
void draw_chip(PdfDocument& pdf, PointMm top_left, double height, const ChipColours& colours);

struct TableColumn {
  std::string heading{};
  bool number = false;  // to the right, and as wide as its numbers; others share what is left
  double share = 1;     // of what is left; 0: to the left, and as wide as its words
};

struct TableCell {
  Markup words{};
  Weight weight = Weight::normal;
  double larger = 1;                  // than the table's letters
  bool boxed = false;                 // a step's number, in a frame
  std::optional<ChipColours> chip{};  // in place of words
};

class PageTable {
 public:
  // `size`: of the letters, mm.
  PageTable(std::vector<TableColumn> columns, double size) : columns_(std::move(columns)), size_(size) {}
  void add(std::vector<TableCell> row) { rows_.push_back(std::move(row)); }
  [[nodiscard]] std::size_t rows() const { return rows_.size(); }

  // Before all below: widths of the columns within this width.
  void measure(PdfDocument& pdf, double width);
  // Of all columns: more than was asked for where that does not hold them.
  [[nodiscard]] double width() const;
  // The columns of words have room for a word of ten letters.
  [[nodiscard]] bool has_room() const { return has_room_; }
  [[nodiscard]] double head_height(PdfDocument& pdf) const;
  [[nodiscard]] double row_height(PdfDocument& pdf, std::size_t row) const;
  [[nodiscard]] double height(PdfDocument& pdf) const;
  void draw_head(PdfDocument& pdf, PointMm top) const;
  void draw_row(PdfDocument& pdf, std::size_t row, PointMm top) const;
  // Head and all rows; returns the bottom.
  double draw(PdfDocument& pdf, PointMm top) const;

 private:
  [[nodiscard]] PageText style_of(std::size_t column, const TableCell& cell) const;
  [[nodiscard]] PageText head_style(std::size_t column) const;
  [[nodiscard]] double inner(std::size_t column) const;
  std::vector<TableColumn> columns_;
  double size_;
  std::vector<std::vector<TableCell>> rows_;
  std::vector<double> widths_;
  bool has_room_ = true;
};

}  // namespace powderplan
