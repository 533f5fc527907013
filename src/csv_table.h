// Tables in text files: RFC 4180, and the kind that spreadsheets write where the comma is the decimal mark.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "problem.h"
#include "range.h"

namespace powderplan {

class CsvTable {
 public:
  struct Row {
    int line = 0;                    // in the file, from 1
    std::vector<std::string> cells;  // as many as the heading has; without spaces at their ends
  };

  // The first line with anything in it is the heading; empty lines, rows of empty cells and lines that
  // begin with '#' are left out. A heading with a semicolon means that semicolons part the cells and a comma
  // is the decimal mark. Throws Problem (input) for a row that is longer or shorter than the heading, a quote
  // left open or followed by more, no heading or no rows.
  CsvTable(std::string_view text, std::string file);

  [[nodiscard]] const std::vector<std::string>& heading() const { return heading_.cells; }
  [[nodiscard]] int heading_line() const { return heading_.line; }
  [[nodiscard]] const std::vector<Row>& rows() const { return rows_; }
  // The text behind '#' of the lines that begin so, without spaces at its ends.
  [[nodiscard]] const std::vector<std::string>& comments() const { return comments_; }

  // Which column has this heading; throws Problem when none or two have.
  [[nodiscard]] std::size_t column(std::string_view name) const;
  [[nodiscard]] double number(const Row& row, std::size_t column, Range range) const;
  [[nodiscard]] int whole(const Row& row, std::size_t column, Range range) const;
  // The same of a text that stands in the heading or in a part of a cell; `what` names it.
  [[nodiscard]] double number_in(int line, std::string_view what, const std::string& text, Range range) const;

  [[noreturn]] void fail(int line, const std::string& wrong, const std::string& remedy) const;

 private:
  std::string file_;
  char separator_ = ',';
  Row heading_;
  std::vector<Row> rows_;
  std::vector<std::string> comments_;
};

}  // namespace powderplan
